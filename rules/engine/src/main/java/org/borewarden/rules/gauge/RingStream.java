package org.borewarden.rules.gauge;

import java.time.Duration;
import java.util.List;
import org.borewarden.rules.stat.Moments;

/**
 * The ring checks of a gauge as a stream of their own.
 *
 * @param count how many checks
 * @param bias the mean of their errors, picometres
 * @param spread the standard deviation of single readings within the checks, picometres; NaN where
 *     no check has two readings
 * @param driftPerDay the slope of the errors over time by least squares, picometres per day; NaN
 *     under two checks or where all came at one time
 */
public record RingStream(int count, double bias, double spread, double driftPerDay) {
  private static final double DAY = Duration.ofDays(1).toMillis();

  /**
   * Looks at checks.
   *
   * @param checks at least one, oldest first, of one gauge that was not set between them
   * @return bias, spread and drift
   * @throws IllegalArgumentException when there is none
   */
  public static RingStream of(List<RingCheck> checks) {
    if (checks.isEmpty()) {
      throw new IllegalArgumentException("a stream without a ring check");
    }
    Moments errors = Moments.NONE;
    Moments times = Moments.NONE;
    double squares = 0;
    long degrees = 0;
    long start = checks.get(0).at().toEpochMilli();
    for (RingCheck check : checks) {
      errors = errors.plus(check.error());
      times = times.plus((check.at().toEpochMilli() - start) / DAY);
      Moments readings = Moments.NONE;
      for (var reading : check.readings()) {
        readings = readings.plus((double) reading.minus(check.certified()).picometres());
      }
      squares += readings.squares();
      degrees += readings.count() - 1;
    }
    double across = 0;
    for (RingCheck check : checks) {
      double day = (check.at().toEpochMilli() - start) / DAY;
      across += (day - times.mean()) * (check.error() - errors.mean());
    }
    return new RingStream(
        checks.size(),
        errors.mean(),
        degrees == 0 ? Double.NaN : Math.sqrt(squares / degrees),
        times.squares() == 0 ? Double.NaN : across / times.squares());
  }
}

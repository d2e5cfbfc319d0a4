package org.borewarden.rules.gauge;

import java.time.Instant;
import java.util.List;
import org.borewarden.rules.measure.Length;

/**
 * A gauge's readings on a ring. Its error is the mean reading less the certified size.
 *
 * @param seq the seq of its last reading
 * @param at when that was taken
 * @param ring the ring
 * @param certified the ring's certified size
 * @param uncertainty the standard uncertainty of that size in picometres; 0 where none is stated
 * @param readings the readings, at least one
 * @param passed whether the error is no more than was allowed
 */
public record RingCheck(
    long seq,
    Instant at,
    String ring,
    Length certified,
    double uncertainty,
    List<Length> readings,
    boolean passed) {
  /** Copies the list. */
  public RingCheck {
    readings = List.copyOf(readings);
    if (readings.isEmpty()) {
      throw new IllegalArgumentException("a ring check without a reading");
    }
  }

  /**
   * Whether a mean error is no more than allowed, exactly: the sum of the errors is compared with n
   * times the limit.
   *
   * @param readings the readings
   * @param certified the certified size
   * @param limit E
   * @return true where it passes
   */
  public static boolean passes(List<Length> readings, Length certified, Length limit) {
    long sum = sum(readings, certified);
    return Math.abs(sum) <= Math.multiplyExact(limit.picometres(), (long) readings.size());
  }

  /**
   * The mean error.
   *
   * @return picometres
   */
  public double error() {
    return (double) sum(readings, certified) / readings.size();
  }

  /**
   * Largest less smallest reading.
   *
   * @return the spread
   */
  public Length spread() {
    Length least = readings.stream().min(Length::compareTo).orElseThrow();
    Length most = readings.stream().max(Length::compareTo).orElseThrow();
    return most.minus(least);
  }

  private static long sum(List<Length> readings, Length certified) {
    long sum = 0;
    for (Length reading : readings) {
      sum = Math.addExact(sum, reading.minus(certified).picometres());
    }
    return sum;
  }
}

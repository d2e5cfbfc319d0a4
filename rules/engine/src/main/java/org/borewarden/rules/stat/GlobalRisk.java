package org.borewarden.rules.stat;

import java.util.Arrays;

/**
 * What a decision rule does in the long run, for a process whose true sizes are normal and a
 * measurement whose error is normal (JCGM 106:2012, 9.5; formulas from memory). Pure numbers, in
 * any one unit.
 *
 * @param outOfLimit the share of parts that are truly out of limit
 * @param consumer the share that is out of limit and accepted all the same
 * @param producer the share that is good and not accepted
 * @param accepted the share that is accepted
 */
public record GlobalRisk(double outOfLimit, double consumer, double producer, double accepted) {
  /** Beyond so many sigma there is no part, and beyond so many u of an edge no doubt. */
  private static final double REACH = 10;

  private static final double EDGE = 8;
  private static final int PANELS = 600;

  /**
   * Integrates over the process.
   *
   * @param mean the mean of the true sizes
   * @param sigma their standard deviation, above 0
   * @param u the standard uncertainty of the measurement, above 0
   * @param lower the lower limit; minus infinity where none stands
   * @param upper the upper limit; plus infinity where none stands
   * @param acceptFrom the smallest value that is accepted
   * @param acceptTo the largest value that is accepted; under acceptFrom where none is
   * @return the risks
   */
  public static GlobalRisk of(
      double mean,
      double sigma,
      double u,
      double lower,
      double upper,
      double acceptFrom,
      double acceptTo) {
    double from = mean - REACH * sigma;
    double to = mean + REACH * sigma;
    double low = Math.min(Math.max(lower, from), to);
    double high = Math.max(Math.min(upper, to), from);
    Accepted accepted = new Accepted(mean, sigma, u, acceptFrom, acceptTo);
    double good = accepted.between(low, high);
    double bad = accepted.between(from, low) + accepted.between(high, to);
    double conforming =
        1
            - Quantiles.normalTail((mean - lower) / sigma)
            - Quantiles.normalTail((upper - mean) / sigma);
    return new GlobalRisk(1 - conforming, bad, conforming - good, good + bad);
  }

  /**
   * Of the parts that are accepted, the share that is out of limit.
   *
   * @return 0 to 1; NaN where none is accepted
   */
  public double outOfAccepted() {
    return consumer / accepted;
  }

  /**
   * The joint density of a true size and of its being accepted.
   *
   * @param mean the mean of the true sizes
   * @param sigma their standard deviation
   * @param u the standard uncertainty of the measurement
   * @param from the smallest value that is accepted
   * @param to the largest
   */
  private record Accepted(double mean, double sigma, double u, double from, double to) {
    /** In pieces, so that the edges of acceptance are seen however small u is against sigma. */
    double between(double start, double end) {
      if (!(start < end) || from > to) {
        return 0;
      }
      double[] cuts = {from - EDGE * u, from + EDGE * u, to - EDGE * u, to + EDGE * u};
      Arrays.sort(cuts);
      double sum = 0;
      double at = start;
      for (double cut : cuts) {
        double next = Math.min(Math.max(cut, at), end);
        sum += piece(at, next);
        at = next;
      }
      return sum + piece(at, end);
    }

    /** Simpson's rule. */
    private double piece(double start, double end) {
      if (!(start < end)) {
        return 0;
      }
      double step = (end - start) / PANELS;
      double sum = at(start) + at(end);
      for (int i = 1; i < PANELS; i++) {
        sum += (i % 2 == 0 ? 2 : 4) * at(start + i * step);
      }
      return sum * step / 3;
    }

    private double at(double size) {
      double z = (size - mean) / sigma;
      double density = Math.exp(-z * z / 2) / (sigma * Math.sqrt(2 * Math.PI));
      double below = (from - size) / u;
      double above = (to - size) / u;
      double taken =
          below > 0
              ? Quantiles.normalTail(below) - Quantiles.normalTail(above)
              : Quantiles.normalTail(-above) - Quantiles.normalTail(-below);
      return density * taken;
    }
  }
}

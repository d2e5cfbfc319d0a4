package org.borewarden.rules.stat;

import java.util.Arrays;
import java.util.Optional;
import org.apache.commons.statistics.distribution.ChiSquaredDistribution;

/**
 * Process capability of a stream of bores (ISO 22514-2, from memory; NIST/SEMATECH e-Handbook
 * 6.1.6): indices with the intervals of a normal process that does not drift. Pure numbers, in any
 * one unit. The same formulas serve Cp and Cpk, with the sigma within, and Pp and Ppk, with the
 * overall one.
 */
public final class Capability {
  private Capability() {}

  /**
   * An index with its interval.
   *
   * @param value the index
   * @param low the lower end
   * @param high the upper end
   */
  public record Index(double value, double low, double high) {}

  /**
   * Cp or Pp: (U - L) / (6 sigma). The interval is that of sigma: chi-square with n - 1 degrees of
   * freedom.
   *
   * @param tolerance U - L
   * @param sigma the standard deviation, above 0
   * @param n the bores it comes from, at least 2
   * @param confidence of the interval, such as 0.95
   * @return the index
   */
  public static Index ofTolerance(double tolerance, double sigma, long n, double confidence) {
    double value = tolerance / (6 * sigma);
    ChiSquaredDistribution spread = ChiSquaredDistribution.of(n - 1.0);
    double low = spread.inverseCumulativeProbability((1 - confidence) / 2);
    double high = spread.inverseCumulativeProbability((1 + confidence) / 2);
    return new Index(value, value * Math.sqrt(low / (n - 1)), value * Math.sqrt(high / (n - 1)));
  }

  /**
   * Cpk or Ppk, toward the nearer limit: room / (3 sigma), with the normal approximation of Bissell
   * (Applied Statistics 39, 1990).
   *
   * @param room the way from the mean to the limit, negative where the mean lies beyond it
   * @param sigma the standard deviation, above 0
   * @param n the bores it comes from, at least 2
   * @param confidence of the two-sided interval
   * @return the index
   */
  public static Index ofNearerLimit(double room, double sigma, long n, double confidence) {
    return bissell(room / (3 * sigma), n, Quantiles.normal((1 + confidence) / 2));
  }

  /**
   * Cpl, Cpu, Ppl or Ppu: the same toward a limit that was fixed before, each end of the interval
   * one-sided.
   *
   * @param room the way from the mean to the limit
   * @param sigma the standard deviation, above 0
   * @param n the bores it comes from, at least 2
   * @param confidence of each end
   * @return the index
   */
  public static Index ofOneLimit(double room, double sigma, long n, double confidence) {
    return bissell(room / (3 * sigma), n, Quantiles.normal(confidence));
  }

  private static Index bissell(double value, long n, double quantile) {
    double width = quantile * Math.sqrt(1 / (9.0 * n) + value * value / (2.0 * (n - 1)));
    return new Index(value, value - width, value + width);
  }

  /**
   * Cpm of Taguchi: the tolerance against the spread about a target.
   *
   * @param tolerance U - L
   * @param mean the mean
   * @param target the target
   * @param sigma the standard deviation, above 0
   * @return the index
   */
  public static double aboutTarget(double tolerance, double mean, double target, double sigma) {
    double off = (mean - target) / sigma;
    return tolerance / (6 * sigma) / Math.sqrt(1 + off * off);
  }

  /**
   * The share expected beyond a limit, of a normal process.
   *
   * @param room the way from the mean to the limit
   * @param sigma the standard deviation, above 0
   * @return 0 to 1
   */
  public static double beyond(double room, double sigma) {
    return Quantiles.normalTail(room / sigma);
  }

  /**
   * Whether a test of normality may be believed: rounding alone makes Anderson and Darling's test
   * reject perfect data (metrology.md 4.12).
   *
   * @param n the values
   * @param steps the resolution over sigma
   * @return false where n (r / s)^2 is over 2
   */
  public static boolean fineEnough(long n, double steps) {
    return n * steps * steps <= 2;
  }

  /**
   * Anderson and Darling's test of normality with mean and sigma from the data (Stephens 1974): the
   * adjusted statistic A*2 = A2 (1 + 0.75/n + 2.25/n^2), to be held against 0.752 at 5 % (from
   * memory).
   *
   * @param values the values, or residuals about a line
   * @param steps the resolution over sigma, 0 where nothing is rounded
   * @return the statistic; empty under 8 values and where they are rounded too much
   */
  public static Optional<Double> andersonDarling(double[] values, double steps) {
    int n = values.length;
    if (n < 8 || !fineEnough(n, steps)) {
      return Optional.empty();
    }
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    Moments moments = Moments.NONE;
    for (double value : sorted) {
      moments = moments.plus(value);
    }
    double sum = 0;
    for (int i = 0; i < n; i++) {
      double below = (sorted[i] - moments.mean()) / moments.standardDeviation();
      double above = (sorted[n - 1 - i] - moments.mean()) / moments.standardDeviation();
      sum +=
          (2 * i + 1)
              * (Math.log(Quantiles.normalTail(-below)) + Math.log(Quantiles.normalTail(above)));
    }
    double squared = -n - sum / n;
    return Optional.of(squared * (1 + 0.75 / n + 2.25 / ((double) n * n)));
  }
}

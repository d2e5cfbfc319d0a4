package org.borewarden.rules.stat;

import java.util.OptionalDouble;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.BinomialDistribution;

/**
 * Process performance by quantiles, for what is not normal: the general geometric method of ISO
 * 22514-2 (from memory), in which X0.135 %, X50 % and X99.865 % stand where mean - 3 sigma, mean
 * and mean + 3 sigma do for a normal process. Pure numbers, in any one unit.
 *
 * <p>A quantile of 99.865 % lies beyond the largest value until p (n + 1) is at most n, which is
 * from {@value #FEWEST} values on; before, whatever is called so is an extrapolation, and none is
 * made here. From then on it rests on the one or two largest values. A bound of it that supposes no
 * distribution is the value of the rank r at which a binomial count of n is at most r - 1 with the
 * confidence; it exists only from ln(1 - confidence) / ln(0.99865) values on, which is 2218 at 95
 * %.
 */
public final class QuantileCapability {
  /** The share below the upper quantile: that of a normal distribution below mean + 3 sigma. */
  public static final double UPPER = 0.99865;

  /** The share below the lower quantile. */
  public static final double LOWER = 0.00135;

  /** Under so many values the quantiles lie beyond the data. */
  public static final int FEWEST = 740;

  private QuantileCapability() {}

  /**
   * Pp: (U - L) / (X99.865 - X0.135).
   *
   * @param tolerance U - L
   * @param lower X0.135 %
   * @param upper X99.865 %, above lower
   * @return the index
   */
  public static double ofTolerance(double tolerance, double lower, double upper) {
    return tolerance / (upper - lower);
  }

  /**
   * PpkU: (U - X50) / (X99.865 - X50). Turned about, (X50 - L) / (X50 - X0.135) is PpkL.
   *
   * @param limit the limit, U or L
   * @param median X50 %
   * @param quantile the quantile on the side of the limit
   * @return the index; empty where the quantile is the median, so that nothing scatters
   */
  public static OptionalDouble ofOneLimit(double limit, double median, double quantile) {
    return quantile == median
        ? OptionalDouble.empty()
        : OptionalDouble.of((limit - median) / (quantile - median));
  }

  /**
   * The rank of the value that the upper quantile does not pass, one-sided at a confidence,
   * whatever the distribution.
   *
   * @param n the values, at most 2^31 - 1
   * @param confidence such as 0.95
   * @return 1 to n; over n where so few values bound it from below only
   */
  public static long rankAbove(long n, double confidence) {
    return 1L
        + BinomialDistribution.of(Math.toIntExact(n), UPPER)
            .inverseCumulativeProbability(confidence);
  }

  /**
   * The most that the share beyond a limit can be, one-sided at a confidence (Clopper and Pearson,
   * Biometrika 26, 1934).
   *
   * @param beyond the values beyond the limit
   * @param n the values
   * @param confidence such as 0.95
   * @return 0 to 1
   */
  public static double shareAtMost(long beyond, long n, double confidence) {
    return beyond >= n
        ? 1
        : BetaDistribution.of(beyond + 1.0, (double) (n - beyond))
            .inverseCumulativeProbability(confidence);
  }
}

package org.borewarden.rules.stat;

import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.TDistribution;

/**
 * Quantiles and tails of the normal distribution and of Student's t (Apache Commons Statistics).
 */
public final class Quantiles {
  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  private Quantiles() {}

  /**
   * The quantile of the standard normal distribution.
   *
   * @param p a probability, over 0 and under 1
   * @return z with P(Z &lt;= z) = p
   */
  public static double normal(double p) {
    return NORMAL.inverseCumulativeProbability(p);
  }

  /**
   * The upper tail of the standard normal distribution, accurate far out.
   *
   * @param z a value
   * @return P(Z &gt; z)
   */
  public static double normalTail(double z) {
    return NORMAL.survivalProbability(z);
  }

  /**
   * The quantile of Student's t.
   *
   * @param p a probability, over 0 and under 1
   * @param freedom the degrees of freedom, over 0
   * @return t with P(T &lt;= t) = p
   */
  public static double student(double p, long freedom) {
    return TDistribution.of((double) freedom).inverseCumulativeProbability(p);
  }
}

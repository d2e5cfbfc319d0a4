package org.borewarden.rules.judge;

import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.stat.Quantiles;

/**
 * The probability that the true size lies within the limits, given a value with a normal
 * uncertainty and no other knowledge (the example formulas of JCGM 106; from memory).
 */
public final class Conformity {
  private Conformity() {}

  /**
   * The same where it is known beforehand how the process spreads (JCGM 106:2012, 7.2 and A.4; from
   * memory). Stands beside a verdict and never makes one: a healthy past must not hide a bad bore.
   *
   * @param limits the limits of size
   * @param value the size that is judged
   * @param standard u, above 0
   * @param prior the mean and the spread of the true sizes before this one
   * @return the probability that the true size lies within the limits
   */
  public static double withPrior(Limits limits, Length value, Length standard, Prior prior) {
    double u = standard.picometres();
    double sigma = prior.sigma().picometres();
    double weight = sigma * sigma / (sigma * sigma + u * u);
    double off = value.minus(prior.mean()).picometres();
    long mean = prior.mean().picometres() + Math.round(weight * off);
    return probability(limits, mean, u * Math.sqrt(weight));
  }

  /**
   * P(L &lt;= Y &lt;= V | value), from the tails so that it keeps its digits far out of limit.
   *
   * @param u the standard uncertainty in picometres, above 0
   */
  static double probability(Limits limits, long value, double u) {
    double aboveLower =
        limits.lower().isPresent()
            ? (double) (value - limits.lower().get().picometres()) / u
            : Double.POSITIVE_INFINITY;
    double belowUpper =
        limits.upper().isPresent()
            ? (double) (limits.upper().get().picometres() - value) / u
            : Double.POSITIVE_INFINITY;
    if (aboveLower < 0) {
      return Quantiles.normalTail(-aboveLower) - Quantiles.normalTail(belowUpper);
    }
    if (belowUpper < 0) {
      return Quantiles.normalTail(-belowUpper) - Quantiles.normalTail(aboveLower);
    }
    return 1 - (Quantiles.normalTail(aboveLower) + Quantiles.normalTail(belowUpper));
  }
}

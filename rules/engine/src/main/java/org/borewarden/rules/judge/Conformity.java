package org.borewarden.rules.judge;

import org.borewarden.rules.part.Limits;
import org.borewarden.rules.stat.Quantiles;

/**
 * The probability that the true size lies within the limits, given a value with a normal
 * uncertainty and no other knowledge (the example formulas of JCGM 106; from memory).
 */
final class Conformity {
  private Conformity() {}

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

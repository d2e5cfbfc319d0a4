package org.borewarden.rules.judge;

import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.stat.Quantiles;

/**
 * The whole picometres at which the verdict changes, so that judging is comparisons of longs.
 *
 * @param undersizeUpTo the largest value that is undersize
 * @param acceptFrom the smallest value that is within
 * @param acceptTo the largest value that is within; under acceptFrom where none is
 * @param oversizeFrom the smallest value that is oversize
 */
record Thresholds(long undersizeUpTo, long acceptFrom, long acceptTo, long oversizeFrom) {

  /** What stands for an absent limit; no length that a gauge can say reaches them. */
  private static final long NEVER_BELOW = Long.MIN_VALUE;

  private static final long NEVER_ABOVE = Long.MAX_VALUE;

  static Thresholds of(Limits limits, DecisionRule rule) {
    if (rule instanceof DecisionRule.Guard guard) {
      return guarded(limits, guard.lower().picometres(), guard.upper().picometres());
    }
    if (rule instanceof DecisionRule.Proven proven) {
      return proven(limits, proven);
    }
    return guarded(limits, 0, 0);
  }

  /** Out only beyond the limit by the guard band; within from the guard band inward. */
  private static Thresholds guarded(Limits limits, long lowerBand, long upperBand) {
    return new Thresholds(
        limits.lower().map(l -> minus(l, lowerBand + 1)).orElse(NEVER_BELOW),
        limits.lower().map(l -> minus(l, -lowerBand)).orElse(NEVER_BELOW),
        limits.upper().map(v -> minus(v, upperBand)).orElse(NEVER_ABOVE),
        limits.upper().map(v -> minus(v, -upperBand - 1)).orElse(NEVER_ABOVE));
  }

  private static Thresholds proven(Limits limits, DecisionRule.Proven rule) {
    double u = rule.uncertainty().standard().picometres();
    // P(Y < L) >= p is one-sided, and so is P(Y >= L) >= p where no upper limit stands.
    long band = (long) Math.ceil(Quantiles.normal(rule.probability()) * u);
    Thresholds oneSided =
        new Thresholds(
            limits.lower().map(l -> minus(l, band)).orElse(NEVER_BELOW),
            limits.lower().map(l -> minus(l, -band)).orElse(NEVER_BELOW),
            limits.upper().map(v -> minus(v, band)).orElse(NEVER_ABOVE),
            limits.upper().map(v -> minus(v, -band)).orElse(NEVER_ABOVE));
    if (limits.lower().isEmpty() || limits.upper().isEmpty()) {
      return oneSided;
    }
    long inward = inward(limits, limits.lower().get(), limits.upper().get(), rule);
    return new Thresholds(
        oneSided.undersizeUpTo,
        minus(limits.lower().get(), -inward),
        minus(limits.upper().get(), inward),
        oneSided.oversizeFrom);
  }

  /**
   * How far inside its limits a value must lie so that P(L &lt;= Y &lt;= V) is p or more: both
   * tails count, so that it is more than 1.645 u where the tolerance is small against u. P rises
   * from a limit to the middle, hence the halving. More than the tolerance where no value reaches
   * p.
   */
  private static long inward(Limits limits, Length lower, Length upper, DecisionRule.Proven rule) {
    double u = rule.uncertainty().standard().picometres();
    long start = lower.picometres();
    long tolerance = upper.minus(lower).picometres();
    long refused = 0;
    long accepted = tolerance / 2;
    if (Conformity.probability(limits, start + accepted, u) < rule.probability()) {
      return tolerance + 1;
    }
    while (accepted - refused > 1) {
      long between = refused + (accepted - refused) / 2;
      if (Conformity.probability(limits, start + between, u) < rule.probability()) {
        refused = between;
      } else {
        accepted = between;
      }
    }
    return accepted;
  }

  private static long minus(Length limit, long band) {
    return Math.subtractExact(limit.picometres(), band);
  }
}

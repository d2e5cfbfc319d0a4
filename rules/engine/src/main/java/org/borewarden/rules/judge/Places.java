package org.borewarden.rules.judge;

import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Limits;

/** Judges a bore of several places, and its form. */
public final class Places {
  private Places() {}

  /**
   * Judges the two ends of what is judged. A bore can be too large and too small at once: the scrap
   * side, which for a bore is the high one, names the verdict, and the other stands beside it.
   *
   * @param acceptance limits and rule
   * @param span the low end and the high end
   * @return one verdict
   */
  public static Judgement judge(Acceptance acceptance, Span span) {
    Judgement low = Judge.judge(acceptance, span.low());
    if (span.low().equals(span.high())) {
      return low;
    }
    Judgement high = Judge.judge(acceptance, span.high());
    Verdict names = names(low, high);
    Optional<Verdict> also =
        Optional.of(names == high.verdict() ? low.verdict() : high.verdict())
            .filter(
                other -> other != names && rank(other) >= rank(names) && other != Verdict.WITHIN);
    return new Judgement(
        names,
        also,
        low.inside() && high.inside(),
        least(low.conformity(), high.conformity()),
        low.limits(),
        low.acceptance(),
        low.rule(),
        low.cautions());
  }

  /** Out counts more than undecided, and that more than within; of two alike the high side. */
  private static Verdict names(Judgement low, Judgement high) {
    int lowRank = rank(low.verdict());
    int highRank = rank(high.verdict());
    if (lowRank == 1 && highRank == 1 && low.conformity().isPresent()) {
      // Of two doubts the more probable one.
      return low.conformity().getAsDouble() < high.conformity().orElse(0)
          ? low.verdict()
          : high.verdict();
    }
    return lowRank > highRank ? low.verdict() : high.verdict();
  }

  private static int rank(Verdict verdict) {
    return verdict.isOut() ? 2 : verdict == Verdict.WITHIN ? 0 : 1;
  }

  private static OptionalDouble least(OptionalDouble one, OptionalDouble other) {
    return one.isPresent() && other.isPresent()
        ? OptionalDouble.of(Math.min(one.getAsDouble(), other.getAsDouble()))
        : one;
  }

  /**
   * Judges one kind of form: one limit above, and an uncertainty of its own, sqrt(2) times that of
   * one reading, since form is a difference of readings.
   *
   * @param rules the limits of form
   * @param limit the limit of this kind
   * @param value what was found
   * @return its verdict
   */
  public static FormResult judge(FormRules rules, FormLimit limit, Length value) {
    DecisionRule rule =
        rules
            .repeatability()
            .<DecisionRule>map(
                s ->
                    new DecisionRule.Proven(
                        rules.probability(),
                        new Length((long) Math.ceil(Math.sqrt(2) * s.picometres()))))
            .orElseGet(DecisionRule.Simple::new);
    Limits limits = new Limits(Optional.empty(), Optional.of(limit.most()));
    FormVerdict verdict =
        switch (Judge.judge(limits, rule, value).verdict()) {
          case WITHIN -> FormVerdict.WITHIN;
          case OVERSIZE, UNDERSIZE -> FormVerdict.OVER;
          case UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> FormVerdict.UNDECIDED;
        };
    return new FormResult(limit.kind(), value, limit.most(), verdict);
  }
}

package org.borewarden.rules.judge;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;

/** Says before the first bore whether a decision rule can accept any reading at all. */
public final class Readiness {
  private Readiness() {}

  /**
   * A rule that accepts nothing.
   *
   * @param toleranceOverUncertainty T/u
   * @param bestProbability the probability of conformity of a value in the middle of the limits
   * @param words in English, such as {@code no reading can be accepted: T/u = 3.571, ...}
   */
  public record Refusal(double toleranceOverUncertainty, double bestProbability, String words) {}

  /**
   * Checks a rule against its limits.
   *
   * @param acceptance limits and rule
   * @return why no reading can be accepted; empty where some can
   */
  public static Optional<Refusal> check(Acceptance acceptance) {
    Optional<Length> tolerance = acceptance.tolerance();
    OptionalDouble u = acceptance.uncertaintyPicometres();
    if (!acceptance.zone().admitsNone() || tolerance.isEmpty() || u.isEmpty()) {
      return Optional.empty();
    }
    double ratio = tolerance.get().picometres() / u.getAsDouble();
    Length middle =
        acceptance
            .limits()
            .lower()
            .orElseThrow()
            .plus(new Length(tolerance.get().picometres() / 2));
    double best = acceptance.conformity(middle).orElseThrow();
    String words =
        String.format(
            Locale.ROOT,
            "no reading can be accepted: T/u = %.3f, %s",
            ratio,
            reason(acceptance.rule(), best));
    return Optional.of(new Refusal(ratio, best, words));
  }

  private static String reason(DecisionRule rule, double best) {
    return rule instanceof DecisionRule.Proven proven
        ? String.format(
            Locale.ROOT,
            "at best a conformity of %.4f can be proven, asked for is %s",
            best,
            proven.probability())
        : "the guard bands leave nothing between the limits";
  }
}

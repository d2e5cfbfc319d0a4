package org.borewarden.rules.judge;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.uncertainty.Budget;
import org.borewarden.rules.uncertainty.Shape;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * Says before the first bore what stands against a measurement, and whether a decision rule can
 * accept any reading at all.
 */
public final class Readiness {
  /** A ring farther than this share of the gauge's range is told (our own choice, no source). */
  static final double FAR_SHARE = 0.1;

  /** A ring farther than this is told where no range is stated (our own choice, no source). */
  static final Length FAR = new Length(1_000_000_000L);

  /**
   * Fewer effective degrees of freedom make u itself uncertain by more than a fifth (GUM E.4.3,
   * from memory).
   */
  static final double FEW_DEGREES = 10;

  private static final BigDecimal TWO = BigDecimal.valueOf(2);

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
    double best = acceptance.statedConformity(middle).orElseThrow();
    String words =
        String.format(
            Locale.ROOT,
            "no reading can be accepted: T/u = %.3f, %s",
            ratio,
            reason(acceptance.rule(), best));
    return Optional.of(new Refusal(ratio, best, words));
  }

  /**
   * Everything that stands against the measurement of a feature.
   *
   * @param feature the feature
   * @param facts what is stated of gauge and ring
   * @param today the day (ISO 8601) of the check
   * @return in the order in which a person wants to read it; empty where all is well
   */
  public static List<Unready> of(Feature feature, GaugeFacts facts, String today) {
    List<Unready> found = new ArrayList<>();
    DecisionRule rule = feature.uncorrected();
    Optional<Uncertainty> stated = rule.stated();
    if (stated.isEmpty()) {
      found.add(new Unready.NoUncertainty());
    }
    boolean corrects = feature.assurance().temperature().flatMap(t -> t.correction()).isPresent();
    check(Acceptance.of(feature.limits(), rule))
        .ifPresent(
            r ->
                found.add(
                    corrects
                        ? new Unready.NothingAcceptedUncorrected(r)
                        : new Unready.NothingAccepted(r)));
    Optional<Length> tolerance = comparison(feature);
    stated.ifPresent(u -> ratio(feature, tolerance, u).ifPresent(found::add));
    facts
        .resolution()
        .flatMap(r -> tolerance.flatMap(t -> coarse(feature, r, t)))
        .ifPresent(found::add);
    underRingCheck(feature, facts).ifPresent(found::add);
    stated
        .flatMap(Uncertainty::budget)
        .map(Budget::freedom)
        .filter(nu -> nu < FEW_DEGREES)
        .ifPresent(nu -> found.add(new Unready.FewDegrees(nu)));
    facts.ringSize().flatMap(size -> far(feature, facts, size)).ifPresent(found::add);
    overdue("gauge " + facts.gauge(), facts.gaugeDue(), today).ifPresent(found::add);
    overdue("ring " + facts.ring().orElse(""), facts.ringDue(), today).ifPresent(found::add);
    return List.copyOf(found);
  }

  /** T, or what stands in its place where only one limit stands. */
  private static Optional<Length> comparison(Feature feature) {
    Limits limits = feature.limits();
    return limits
        .lower()
        .flatMap(l -> limits.upper().map(v -> v.minus(l)))
        .or(feature.assurance().asked()::tolerance);
  }

  /**
   * T/(2U), the tolerance in widths of the uncertainty interval (ASME B89.7.3.1; from memory).
   *
   * @param feature the feature
   * @return empty where no uncertainty is stated, or one limit stands and nothing to compare with
   */
  public static OptionalDouble ratio(Feature feature) {
    Optional<Length> tolerance = comparison(feature);
    Optional<Uncertainty> stated = feature.uncorrected().stated();
    return tolerance.isPresent() && stated.isPresent()
        ? OptionalDouble.of(
            tolerance.get().picometres() / (2.0 * stated.get().expanded().picometres()))
        : OptionalDouble.empty();
  }

  private static Optional<Unready> ratio(
      Feature feature, Optional<Length> tolerance, Uncertainty stated) {
    if (tolerance.isEmpty()) {
      return Optional.of(new Unready.NoRatio());
    }
    BigDecimal asked = feature.assurance().asked().ratio();
    // Exact: T / (2 U) < asked, without a division.
    BigDecimal least =
        asked.multiply(BigDecimal.valueOf(stated.expanded().picometres())).multiply(TWO);
    return BigDecimal.valueOf(tolerance.get().picometres()).compareTo(least) < 0
        ? Optional.of(new Unready.SmallRatio(ratio(feature).orElseThrow(), asked))
        : Optional.empty();
  }

  private static Optional<Unready> coarse(Feature feature, Length step, Length tolerance) {
    int steps = feature.assurance().asked().steps();
    Length most = new Length(tolerance.picometres() / steps);
    return step.isAbove(most) ? Optional.of(new Unready.Coarse(step, most)) : Optional.empty();
  }

  /**
   * A ring check that passes within plus or minus E lets a bias up to E stand.
   *
   * @param feature the feature
   * @param facts what is stated of gauge and ring
   * @return empty where u holds E / sqrt(3), or one of the two is not stated
   */
  public static Optional<Unready.UnderRingCheck> underRingCheck(Feature feature, GaugeFacts facts) {
    return feature.uncorrected().stated().flatMap(u -> underRingCheck(facts, u));
  }

  private static Optional<Unready.UnderRingCheck> underRingCheck(
      GaugeFacts facts, Uncertainty stated) {
    return facts
        .errorLimit()
        .map(e -> new Length((long) Math.ceil(Shape.RECTANGULAR.standard((double) e.picometres()))))
        .filter(least -> stated.standard().isBelow(least))
        .map(least -> new Unready.UnderRingCheck(least, stated.expanded().isBelow(least)));
  }

  private static Optional<Unready> far(Feature feature, GaugeFacts facts, Length ring) {
    Length distance = new Length(Math.abs(ring.minus(feature.nominal()).picometres()));
    Optional<Length> range = facts.from().flatMap(from -> facts.to().map(to -> to.minus(from)));
    double share =
        range.map(r -> (double) distance.picometres() / r.picometres()).orElse(Double.NaN);
    boolean far = range.isPresent() ? share > FAR_SHARE : distance.isAbove(FAR);
    return far ? Optional.of(new Unready.RingFar(distance, share)) : Optional.empty();
  }

  /** Days of ISO 8601 sort as text. */
  private static Optional<Unready> overdue(String what, Optional<String> day, String today) {
    return day.filter(d -> d.compareTo(today) < 0).map(d -> new Unready.Overdue(what, d));
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

package org.borewarden.rules.judge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;

/**
 * Limits and a decision rule, worked out once when the rules are loaded. Immutable; two are equal
 * when limits and rule are.
 */
public final class Acceptance {
  private final Limits limits;
  private final DecisionRule rule;
  private final Thresholds thresholds;
  private final AcceptanceZone zone;
  private final double uncertaintyPicometres;
  private final List<String> cautions;

  private Acceptance(Acceptance base, String caution) {
    this.limits = base.limits;
    this.rule = base.rule;
    this.thresholds = base.thresholds;
    this.zone = base.zone;
    this.uncertaintyPicometres = base.uncertaintyPicometres;
    List<String> both = new ArrayList<>(base.cautions);
    both.add(caution);
    this.cautions = List.copyOf(both);
  }

  private Acceptance(Limits limits, DecisionRule rule) {
    this.limits = limits;
    this.rule = rule;
    this.thresholds = Thresholds.of(limits, rule);
    this.zone = zone(limits, thresholds);
    this.uncertaintyPicometres = uncertainty(rule);
    this.cautions = cautions(rule, zone);
  }

  /**
   * Works out where the verdict changes.
   *
   * @param limits the limits of size
   * @param rule how a bore is compared with them
   * @return what {@link Judge} needs
   * @throws ArithmeticException when a guard band moves a limit out of the range of a length
   */
  public static Acceptance of(Limits limits, DecisionRule rule) {
    return new Acceptance(limits, rule);
  }

  /**
   * The same with a caution beside every verdict.
   *
   * @param caution its key
   * @return an acceptance that differs in its cautions only
   */
  public Acceptance withCaution(String caution) {
    return new Acceptance(this, caution);
  }

  private static AcceptanceZone zone(Limits limits, Thresholds thresholds) {
    if (thresholds.acceptFrom() > thresholds.acceptTo()) {
      return AcceptanceZone.NONE;
    }
    return new AcceptanceZone(
        limits.lower().map(l -> new Length(thresholds.acceptFrom())),
        limits.upper().map(v -> new Length(thresholds.acceptTo())));
  }

  private static double uncertainty(DecisionRule rule) {
    return rule.stated().map(u -> (double) u.standard().picometres()).orElse(Double.NaN);
  }

  private static List<String> cautions(DecisionRule rule, AcceptanceZone zone) {
    if (zone.admitsNone()) {
      return List.of(Judge.NO_READING_CAN_BE_ACCEPTED);
    }
    return rule.stated().isEmpty() ? List.of(Judge.NO_UNCERTAINTY_STATED) : List.of();
  }

  /**
   * The limits of size.
   *
   * @return as given
   */
  public Limits limits() {
    return limits;
  }

  /**
   * The decision rule.
   *
   * @return as given
   */
  public DecisionRule rule() {
    return rule;
  }

  /**
   * The values that are within.
   *
   * @return the limits moved inward, or {@link AcceptanceZone#NONE}
   */
  public AcceptanceZone zone() {
    return zone;
  }

  /**
   * How far inside each limit a value must lie to be within.
   *
   * @return g for each limit that stands, the lower one first; empty where no value is within
   */
  public List<Length> guardBands() {
    List<Length> bands = new ArrayList<>();
    zone.lower().ifPresent(from -> limits.lower().ifPresent(l -> bands.add(from.minus(l))));
    zone.upper().ifPresent(to -> limits.upper().ifPresent(v -> bands.add(v.minus(to))));
    return List.copyOf(bands);
  }

  Thresholds thresholds() {
    return thresholds;
  }

  List<String> cautions() {
    return cautions;
  }

  /** u in picometres, where the rule states an uncertainty. */
  OptionalDouble uncertaintyPicometres() {
    return Double.isNaN(uncertaintyPicometres)
        ? OptionalDouble.empty()
        : OptionalDouble.of(uncertaintyPicometres);
  }

  OptionalDouble statedConformity(Length value) {
    return Double.isNaN(uncertaintyPicometres)
        ? OptionalDouble.empty()
        : OptionalDouble.of(conformity(value.picometres()));
  }

  /**
   * The probability of conformity of a value; allocates nothing.
   *
   * @param picometres the size that is judged
   * @return 0 to 1; NaN where the rule states no uncertainty
   */
  public double conformity(long picometres) {
    return Double.isNaN(uncertaintyPicometres)
        ? Double.NaN
        : Conformity.probability(limits, picometres, uncertaintyPicometres);
  }

  /**
   * V - L.
   *
   * @return empty where only one limit stands
   */
  public Optional<Length> tolerance() {
    return limits.lower().flatMap(l -> limits.upper().map(v -> v.minus(l)));
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Acceptance that && limits.equals(that.limits) && rule.equals(that.rule);
  }

  @Override
  public int hashCode() {
    return 31 * limits.hashCode() + rule.hashCode();
  }

  @Override
  public String toString() {
    return "Acceptance[" + limits + ", " + rule + ", " + zone + "]";
  }
}

package org.borewarden.rules.judge;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.stat.GlobalRisk;
import org.borewarden.rules.uncertainty.Uncertainty;

/** The long-run risks of a feature's rule, where it is stated how its process spreads. */
public final class Risks {
  private Risks() {}

  /**
   * Consumer's and producer's risk of the rule as it stands without a temperature correction. An
   * undecided bore counts as not accepted.
   *
   * @param feature the feature
   * @return empty where no prior or no uncertainty is stated
   */
  public static Optional<GlobalRisk> of(Feature feature) {
    Acceptance acceptance = Acceptance.of(feature.limits(), feature.uncorrected());
    Optional<Uncertainty> stated = acceptance.rule().stated();
    return feature
        .assurance()
        .prior()
        .flatMap(prior -> stated.map(u -> of(feature, acceptance, prior, u)));
  }

  /** Counted from the prior's mean, so that a size keeps all its digits in a double. */
  private static GlobalRisk of(
      Feature feature, Acceptance acceptance, Prior prior, Uncertainty stated) {
    AcceptanceZone zone = acceptance.zone();
    boolean none = zone.admitsNone();
    return GlobalRisk.of(
        0,
        (double) prior.sigma().picometres(),
        (double) stated.standard().picometres(),
        from(feature.limits().lower(), prior, Double.NEGATIVE_INFINITY),
        from(feature.limits().upper(), prior, Double.POSITIVE_INFINITY),
        none ? 1 : from(zone.lower(), prior, Double.NEGATIVE_INFINITY),
        none ? 0 : from(zone.upper(), prior, Double.POSITIVE_INFINITY));
  }

  private static double from(Optional<Length> limit, Prior prior, double absent) {
    return limit.map(l -> (double) l.minus(prior.mean()).picometres()).orElse(absent);
  }
}

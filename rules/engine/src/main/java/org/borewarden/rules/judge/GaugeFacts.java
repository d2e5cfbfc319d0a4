package org.borewarden.rules.judge;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RuleSet;

/**
 * What is stated of the gauge of a feature and of its ring, as far as it is.
 *
 * @param gauge the gauge's id
 * @param resolution r
 * @param from the smallest size that it reads
 * @param to the largest
 * @param gaugeDue the last day (ISO 8601) on which its calibration counts
 * @param ring the ring's id
 * @param ringSize its certified size
 * @param ringDue the last day on which its certificate counts
 * @param errorLimit E, within which a ring check passes
 */
public record GaugeFacts(
    String gauge,
    Optional<Length> resolution,
    Optional<Length> from,
    Optional<Length> to,
    Optional<String> gaugeDue,
    Optional<String> ring,
    Optional<Length> ringSize,
    Optional<String> ringDue,
    Optional<Length> errorLimit) {
  /**
   * What the rules state.
   *
   * @param rules the rules
   * @param feature one of their features
   * @return the facts, most of them empty where nothing is said of the gauge
   */
  public static GaugeFacts of(RuleSet rules, Feature feature) {
    Optional<GaugeRules> gauge = rules.gauge(feature.gauge());
    Optional<RingChecks> checks = gauge.flatMap(GaugeRules::checks);
    Optional<Ring> ring = checks.flatMap(c -> rules.ring(c.ring()));
    return new GaugeFacts(
        feature.gauge(),
        gauge.flatMap(GaugeRules::resolution),
        gauge.flatMap(GaugeRules::from),
        gauge.flatMap(GaugeRules::to),
        gauge.flatMap(GaugeRules::calibrationDue),
        ring.map(Ring::id),
        ring.map(Ring::size),
        ring.flatMap(Ring::calibrationDue),
        checks.map(RingChecks::errorLimit));
  }
}

package org.borewarden.rules.part;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * What the rules say of a gauge.
 *
 * @param id the gauge's id, as agent.yaml names it
 * @param head what touches the bore
 * @param from the smallest size that it reads
 * @param to the largest size that it reads
 * @param resolution r, the step of its display
 * @param repeatability s_rep, the standard deviation of one reading
 * @param checks how it is checked on a ring; without them it is believed as it is
 * @param calibrationDue the last day (ISO 8601) on which its calibration counts
 */
public record GaugeRules(
    String id,
    Optional<Head> head,
    Optional<Length> from,
    Optional<Length> to,
    Optional<Length> resolution,
    Optional<Length> repeatability,
    Optional<RingChecks> checks,
    Optional<String> calibrationDue) {
  /**
   * Checks the name and the range.
   *
   * @throws IllegalArgumentException when the id is no name or the range is the wrong way round
   */
  public GaugeRules {
    Check.name("the id of a gauge", id);
    if (from.isPresent() && to.isPresent() && !from.get().isBelow(to.get())) {
      throw new IllegalArgumentException("a gauge's range must begin below its end");
    }
  }
}

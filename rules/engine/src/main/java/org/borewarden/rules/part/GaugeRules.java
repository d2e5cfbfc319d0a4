package org.borewarden.rules.part;

import java.time.Duration;
import java.util.List;
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
 * @param believe what is asked of each of its readings before it is judged
 * @param which how one knows of which of its features a reading is; absent where it has one, or one
 *     for each input
 * @param soak how long it must have been on, beside its ring and the parts, before it reads them at
 *     one temperature; absent where nobody is reminded
 */
public record GaugeRules(
    String id,
    Optional<Head> head,
    Optional<Length> from,
    Optional<Length> to,
    Optional<Length> resolution,
    Optional<Length> repeatability,
    Optional<RingChecks> checks,
    Optional<String> calibrationDue,
    List<BeliefCheck> believe,
    Optional<Which> which,
    Optional<Duration> soak) {
  /**
   * Checks the name and the range.
   *
   * @throws IllegalArgumentException when the id is no name or the range is the wrong way round
   */
  public GaugeRules {
    believe = List.copyOf(believe);
    Check.name("the id of a gauge", id);
    if (from.isPresent() && to.isPresent() && !from.get().isBelow(to.get())) {
      throw new IllegalArgumentException("a gauge's range must begin below its end");
    }
  }

  /**
   * A gauge each of whose readings is believed.
   *
   * @param id the gauge's id
   * @param head what touches the bore
   * @param from the smallest size that it reads
   * @param to the largest size that it reads
   * @param resolution the step of its display
   * @param repeatability the standard deviation of one reading
   * @param checks how it is checked on a ring
   * @param calibrationDue the last day on which its calibration counts
   */
  public GaugeRules(
      String id,
      Optional<Head> head,
      Optional<Length> from,
      Optional<Length> to,
      Optional<Length> resolution,
      Optional<Length> repeatability,
      Optional<RingChecks> checks,
      Optional<String> calibrationDue) {
    this(
        id,
        head,
        from,
        to,
        resolution,
        repeatability,
        checks,
        calibrationDue,
        List.of(),
        Optional.empty(),
        Optional.empty());
  }
}

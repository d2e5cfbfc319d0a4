package org.borewarden.agent.report;

import java.time.Instant;
import java.time.ZoneId;
import java.util.Optional;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;

/**
 * What a report is asked to be about.
 *
 * @param from the first moment of its span
 * @param to the first moment behind it
 * @param span the span in words, such as a shift and its day
 * @param zone the time zone in which times are shown
 * @param unit the unit in which sizes are shown; the gauge's own where it is not named
 * @param comma whether numbers have a decimal comma, and CSV fields are parted by semicolons
 * @param feature the only feature that is looked at
 * @param part the only part number that is looked at
 * @param serial the part that a measurement record is about, instead of a shift
 */
public record Wanted(
    Instant from,
    Instant to,
    String span,
    ZoneId zone,
    Optional<Unit> unit,
    boolean comma,
    Optional<String> feature,
    Optional<String> part,
    Optional<String> serial) {

  boolean holds(Instant at) {
    return !at.isBefore(from) && at.isBefore(to);
  }

  boolean wants(Feature other) {
    return feature.map(other.id()::equals).orElse(true)
        && part.map(other.part()::equals).orElse(true);
  }

  Unit unitOf(Unit gauges) {
    return unit.orElse(gauges);
  }
}

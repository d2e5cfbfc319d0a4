package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Captured;
import org.borewarden.rules.reading.Reading;

/**
 * One accepted value from a gauge; topic {@code reading/<gauge>}.
 *
 * @param gauge the gauge
 * @param value the value in the unit that the gauge showed, with its digits
 * @param unit that unit
 * @param pm the value, exact, in picometres
 * @param input the gauge's input, where it has several
 * @param status what the gauge said of itself
 * @param bookmark where in its source it ended
 * @param batteryLow whether the gauge says that its battery is low
 * @param samples how many samples it rests on, where it was captured from a stream
 * @param spanPm the largest of them less the smallest, in picometres
 */
record ReadingPayload(
    String gauge,
    BigDecimal value,
    String unit,
    long pm,
    Optional<String> input,
    Optional<String> status,
    Optional<String> bookmark,
    Optional<Boolean> batteryLow,
    OptionalInt samples,
    OptionalLong spanPm) {

  static ReadingPayload of(Reading reading) {
    return new ReadingPayload(
        reading.gauge(),
        Size.in(reading.value(), reading.unit(), reading.decimals()),
        reading.unit().symbol(),
        reading.value().picometres(),
        reading.input(),
        reading.status(),
        reading.bookmark(),
        reading.batteryLow(),
        reading.captured().stream().mapToInt(Captured::samples).findFirst(),
        reading.captured().stream().mapToLong(c -> c.span().picometres()).findFirst());
  }

  Reading reading() {
    return new Reading(
        gauge,
        new Length(pm),
        unitOf(unit),
        value.scale(),
        input,
        status,
        bookmark,
        batteryLow,
        samples.isPresent()
            ? Optional.of(new Captured(samples.getAsInt(), new Length(spanPm.orElse(0))))
            : Optional.empty());
  }

  private static Unit unitOf(String symbol) {
    for (Unit unit : Unit.values()) {
      if (unit.symbol().equals(symbol)) {
        return unit;
      }
    }
    throw new IllegalArgumentException("unknown unit in the journal: " + symbol);
  }
}

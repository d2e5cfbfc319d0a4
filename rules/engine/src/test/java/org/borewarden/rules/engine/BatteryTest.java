package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;

/** A wireless gauge runs low, is read on, and gets a new battery. */
class BatteryTest {
  private static final Reading PRESS =
      new Reading(
          "bore-1",
          Lengths.of("62.011 mm"),
          Unit.MILLIMETRE,
          3,
          Optional.empty(),
          Optional.empty());

  private State state = State.initial();
  private long seq;

  @Test
  void aLowBatteryStandsAtItsGaugeUntilAFrameSaysThatItIsFine() {
    assertThat(told(PRESS.withBattery(false))).contains(false);
    assertThat(told(PRESS.withBattery(true))).contains(true);
    assertThat(told(PRESS)).as("a frame that says nothing of it").contains(true);
    take(new Event.SourceChanged("port-a", List.of("bore-1"), false, "lost"));
    assertThat(shown()).as("the link is lost").contains(true);
    assertThat(told(PRESS.withBattery(false))).as("a new battery").contains(false);
  }

  @Test
  void aGaugeThatSaysNothingOfItsBatteryShowsNothing() {
    assertThat(told(PRESS)).isEmpty();
  }

  private Optional<Boolean> told(Reading reading) {
    take(new Event.ReadingTaken(reading));
    return shown();
  }

  private Optional<Boolean> shown() {
    return Objects.requireNonNull(state.gauges().get("bore-1")).batteryLow();
  }

  private void take(Event event) {
    Step step =
        Engine.step(
            state,
            new Stamped(++seq, Instant.parse("2026-05-04T08:00:00Z").plusSeconds(seq), event));
    seq += step.decisions().size();
    state = step.next();
  }
}

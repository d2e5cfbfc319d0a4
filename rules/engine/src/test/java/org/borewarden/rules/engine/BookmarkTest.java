package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;

/** How far a file was read is remembered with its readings, so that a replay knows it. */
class BookmarkTest {
  private State state = State.initial();
  private long seq;

  @Test
  void aPortRemembersWhereItsLastReadingEndedThroughLossAndRestart() {
    start("logger");
    step(reading("bore-1", "9/9/aa"));
    step(reading("bore-2", "18/18/bb"));
    step(reading("elsewhere", "7/7/cc"));
    assertThat(state.bookmark("logger")).contains("18/18/bb");
    step(new Event.SourceChanged("logger", List.of("bore-1", "bore-2"), false, "lost"));
    start("logger");
    assertThat(state.bookmark("logger")).contains("18/18/bb");
    start("other");
    assertThat(state.bookmark("logger")).isEmpty();
    assertThat(state.bookmark("other")).isEmpty();
  }

  private void start(String port) {
    Event.Port named = new Event.Port(port, List.of("bore-1", "bore-2"));
    step(new Event.AgentStarted("1", 1, "00", true, List.of(), List.of(named)));
  }

  private static Event reading(String gauge, String bookmark) {
    Reading reading =
        new Reading(gauge, Length.ZERO, Unit.MILLIMETRE, 3, Optional.empty(), Optional.empty());
    return new Event.ReadingTaken(reading.at(Optional.of(bookmark)));
  }

  private void step(Event event) {
    Step step = Engine.step(state, new Stamped(++seq, Instant.EPOCH, event));
    seq += step.decisions().size();
    state = step.next();
  }
}

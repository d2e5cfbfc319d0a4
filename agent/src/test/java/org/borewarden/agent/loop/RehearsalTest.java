package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.junit.jupiter.api.Test;

/** The way to a hold is gone at the start, to its end. */
class RehearsalTest {
  private static final Instant AT = Instant.parse("2026-05-05T08:00:00Z");

  /** The first feature has two places and a gauge that must be checked: the second one is taken. */
  @Test
  void everyRoundWithdrawsAPermit() {
    List<Event> evidence =
        List.of(
            Shift.started(7, true),
            new Event.RulesLoaded(Shift.RULES),
            Shift.port("port-a", true),
            new Event.LinkChanged("cell-4", true, ""));
    assertThat(Rehearsal.hold(AT, evidence, Shift.RULES.features())).isEqualTo(250);
  }

  @Test
  void whereTheRulesAreRefusedThereIsNothingToRehearse() {
    List<Event> evidence = List.of(Shift.started(7, true), new Event.RulesRefused(1, "no part"));
    assertThat(Rehearsal.hold(AT, evidence, List.of())).isZero();
  }
}

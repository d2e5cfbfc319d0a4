package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;

/** A controller says what it heard once, and means it until it says otherwise. */
class CellHearsTest {
  private static final String CELL = "cell-4";
  private static final Instant AT = Instant.parse("2026-03-02T06:00:00Z");

  private State state = State.initial();
  private long seq = 1;

  @Test
  void whatTheCellHeardDuringTheStartCountsWhenTheStartIsOver() {
    take(started());
    take(new Event.CellReported(CELL, heard(hold().number())));
    assertThat(hold().phase()).isEqualTo(Phase.STARTING);
    take(new Event.LinkChanged(CELL, true, "the cell's echo moves"));
    take(new Event.RulesLoaded(new RuleSet("0123456789ab", List.of())));

    assertThat(hold().phase()).isEqualTo(Phase.HEARD);
  }

  @Test
  void whatTheCellHeardBeforeItsLinkWasLostCountsWhenTheLinkIsBack() {
    whatTheCellHeardDuringTheStartCountsWhenTheStartIsOver();
    take(new Event.LinkChanged(CELL, false, "the cell's echo does not move"));
    assertThat(hold().phase()).isEqualTo(Phase.REQUESTED);
    take(new Event.LinkChanged(CELL, true, "the cell's echo moves"));

    assertThat(hold().phase()).isEqualTo(Phase.HEARD);
  }

  @Test
  void anotherHoldThanTheOneThatStandsIsNotHeard() {
    take(started());
    take(new Event.CellReported(CELL, heard(hold().number() - 1)));
    take(new Event.LinkChanged(CELL, true, "the cell's echo moves"));
    take(new Event.RulesLoaded(new RuleSet("0123456789ab", List.of())));

    assertThat(hold().phase()).isEqualTo(Phase.REQUESTED);
  }

  private void take(Event event) {
    Step step = Engine.step(state, new Stamped(seq, AT, event));
    state = step.next();
    seq += 1 + step.decisions().size();
  }

  private HoldView hold() {
    return state.cellView(CELL, AT).orElseThrow().hold();
  }

  /** After an unclean stop, so that hold 1 is latched. */
  private static Event started() {
    CellPolicy policy =
        new CellPolicy(
            CELL,
            List.of(),
            List.of(),
            true,
            false,
            Duration.ofSeconds(10),
            false,
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    return new Event.AgentStarted("0", 4711, "nonce", false, List.of(policy), List.of());
  }

  private static CellReport heard(int hold) {
    return new CellReport(
        true,
        false,
        false,
        false,
        false,
        false,
        false,
        false,
        false,
        hold,
        Optional.of(StopKind.END_OF_PART),
        OptionalInt.of(1),
        Optional.empty(),
        0,
        PartContext.NONE);
  }
}

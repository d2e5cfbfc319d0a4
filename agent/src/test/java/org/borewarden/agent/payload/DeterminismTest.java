package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Random shifts from printed seeds: the same events give the same decisions, and rules that hold.
 */
class DeterminismTest {
  private static final int EVENTS = 4000;

  /** A shift as it went: its events, the bytes of its decisions, the state at its end. */
  private record Run(List<Stamped> events, List<String> decided, State state) {}

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 20260504})
  void theSameEventsGiveTheSameDecisionsAlsoByWayOfTheJournal(long seed) throws Exception {
    Run run = run(seed);
    Run again = fold(run.events());
    assertThat(again.decided()).isEqualTo(run.decided());
    assertThat(again.state()).isEqualTo(run.state());

    List<Stamped> journalled = new ArrayList<>();
    for (Stamped stamped : run.events()) {
      Coded coded = EventCodec.encode(stamped.event());
      Event event = EventCodec.decode(coded.kind(), coded.body(), Shift::kept);
      assertThat(event).isEqualTo(stamped.event());
      journalled.add(new Stamped(stamped.seq(), stamped.at(), event));
    }
    Run replayed = fold(journalled);
    assertThat(replayed.decided()).isEqualTo(run.decided());
    assertThat(replayed.state()).isEqualTo(run.state());
  }

  @Test
  void aRandomShiftMeetsEveryStateOfTheHold() {
    Set<Phase> met = EnumSet.noneOf(Phase.class);
    RandomShift shift = new RandomShift(1);
    State state = State.initial();
    long seq = 0;
    for (int i = 0; i < EVENTS; i++) {
      Stamped stamped = new Stamped(seq + 1, shift.later(), shift.next(state));
      Step step = Engine.step(state, stamped);
      seq = stamped.seq() + step.decisions().size();
      shift.saw(stamped.seq(), step);
      state = step.next();
      for (String cell : state.cellIds()) {
        met.add(state.cellView(cell, stamped.at()).orElseThrow().hold().phase());
      }
    }
    assertThat(met).containsExactlyInAnyOrder(Phase.values());
  }

  private static Run run(long seed) {
    RandomShift shift = new RandomShift(seed);
    List<Stamped> events = new ArrayList<>();
    List<String> decided = new ArrayList<>();
    State state = State.initial();
    long seq = 0;
    for (int i = 0; i < EVENTS; i++) {
      Stamped stamped = new Stamped(seq + 1, shift.later(), shift.next(state));
      Step step = Engine.step(state, stamped);
      String where = "seed " + seed + ", event " + i + ": " + stamped;
      check(where, state, stamped, step);
      seq = stamped.seq() + step.decisions().size();
      shift.saw(stamped.seq(), step);
      state = step.next();
      events.add(stamped);
      step.decisions().forEach(d -> decided.add(DecisionCodec.encode(d).toString()));
    }
    return new Run(events, decided, state);
  }

  private static Run fold(List<Stamped> events) {
    List<String> decided = new ArrayList<>();
    State state = State.initial();
    for (Stamped stamped : events) {
      Step step = Engine.step(state, stamped);
      state = step.next();
      step.decisions().forEach(d -> decided.add(DecisionCodec.encode(d).toString()));
    }
    return new Run(events, decided, state);
  }

  private static void check(String where, State before, Stamped stamped, Step step) {
    for (String cell : step.next().cellIds()) {
      HoldView is = step.next().cellView(cell, stamped.at()).orElseThrow().hold();
      standsBy(where, is);
      before
          .cellView(cell, stamped.at())
          .ifPresent(view -> moved(where, view.hold(), is, stamped.event()));
      List<HoldView> told =
          step.decisions().stream()
              .filter(Decision.HoldChanged.class::isInstance)
              .map(d -> ((Decision.HoldChanged) d).hold())
              .filter(view -> view.cell().equals(cell))
              .toList();
      assertThat(told).as(where).hasSizeLessThan(2).allMatch(is::equals);
    }
    if (stamped.event() instanceof Event.AgentStarted) {
      assertThat(step.next().cellIds())
          .as(where)
          .noneMatch(c -> step.next().cellView(c, stamped.at()).orElseThrow().hold().permitted());
    }
  }

  /** No permit over a condition, nor over a cause but by a trial or a bypass. */
  private static void standsBy(String where, HoldView hold) {
    if (hold.permitted()) {
      assertThat(hold.conditions()).as(where).isEmpty();
      assertThat(hold.kind()).as(where).isEmpty();
      if (hold.number() != 0) {
        // A release that is written out of a trial keeps the trial's permit.
        assertThat(hold.phase()).as(where).isIn(Phase.TRIAL, Phase.BYPASSED, Phase.RELEASING);
      }
    }
    assertThat(hold.number() != 0).as(where).isEqualTo(!hold.causes().isEmpty());
  }

  /** A permit rises with a synced grant only; causes and the kind go with a release only. */
  private static void moved(String where, HoldView was, HoldView is, Event event) {
    if (!was.permitted() && is.permitted()) {
      assertThat(event).as(where).isInstanceOf(Event.GrantSynced.class);
    }
    if (was.number() != 0 && is.number() == 0) {
      assertThat(event)
          .as(where)
          .isInstanceOfAny(Event.GrantSynced.class, Event.AgentStarted.class);
    }
    if (was.number() != 0 && was.number() == is.number()) {
      assertThat(is.causes().stream().map(c -> c.key()).toList())
          .as(where)
          .containsAll(was.causes().stream().map(c -> c.key()).toList());
      if (was.kind().isPresent() && is.kind().isPresent()) {
        assertThat(is.kind().get()).as(where).isGreaterThanOrEqualTo(was.kind().get());
      }
    }
    assertThat(is.revision()).as(where).isGreaterThanOrEqualTo(was.revision());
  }
}

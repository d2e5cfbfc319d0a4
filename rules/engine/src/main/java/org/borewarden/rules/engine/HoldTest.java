package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Phase;

/**
 * The proof of a cell's hold path: a hold is asked for while the permit is given, and the cell says
 * both that it heard it and that it stopped for it. What stopped before says nothing, so a test
 * begins only with the permit given.
 *
 * <p>A proof is due again a while after the last one, or after the cell was first named. That it is
 * due is an alert and nothing else: it withholds no permit.
 *
 * @param hold the number of the hold that proves it; 0 while none runs
 * @param passed when it was last passed
 * @param since when a proof was first asked for, by the config
 */
record HoldTest(int hold, Optional<Instant> passed, Optional<Instant> since) {
  /** The reason code with which a hold is asked for as a test. */
  static final String REASON = "hold-path-test";

  static final String TIMER = "hold-test:";

  static final HoldTest NEVER = new HoldTest(0, Optional.empty(), Optional.empty());

  /** Why a test cannot begin. */
  static Optional<AnswerCode> refused(HoldState hold) {
    if (hold.phase() == Phase.PERMITTED) {
      return Optional.empty();
    }
    if (hold.phase() == Phase.STARTING) {
      return Optional.of(AnswerCode.STARTING);
    }
    return Optional.of(
        hold.number() == 0 ? AnswerCode.CONDITION_PRESENT : AnswerCode.ALREADY_PENDING);
  }

  static void begin(Work work, String cell) {
    CellState state = work.cell(cell);
    HoldTest was = state.test();
    work.cells.put(
        cell, state.withTest(new HoldTest(state.hold().number(), was.passed(), was.since())));
  }

  /** Looks at a hold that changed: is the test passed, or did the hold end before. */
  static void watch(Work work, String cell, HoldState is) {
    CellState state = work.cell(cell);
    HoldTest was = state.test();
    int tested = was.hold();
    if (tested == 0) {
      return;
    }
    if (tested != is.number()) {
      work.cells.put(cell, state.withTest(new HoldTest(0, was.passed(), was.since())));
    } else if (is.heard() && is.stopped()) {
      work.cells.put(cell, state.withTest(new HoldTest(0, Optional.of(work.at()), was.since())));
      work.decide(new Decision.HoldTestPassed(cell, tested));
      arm(work, cell);
    }
  }

  /** A start, which may have brought another interval. */
  static void started(Work work, String cell, Optional<Duration> intervalWas) {
    CellState state = work.cell(cell);
    HoldTest was = state.test();
    boolean asked = state.policy().holdTestEvery().isPresent();
    if (asked && was.since().isEmpty()) {
      work.cells.put(
          cell, state.withTest(new HoldTest(was.hold(), was.passed(), Optional.of(work.at()))));
    }
    if (asked) {
      arm(work, cell);
    } else if (intervalWas.isPresent()) {
      forget(work, cell);
    }
  }

  /** The config asks for no proof any more, or names the cell no more. */
  static void forget(Work work, String cell) {
    Alerts.holdTestNotDue(work, cell);
    work.effect(new Effect.TimerCleared(TIMER + cell));
  }

  /** Says that a proof is due, or wakes when it will be. */
  static void arm(Work work, String cell) {
    Optional<Instant> due = work.cellIfKnown(cell).flatMap(HoldTest::due);
    if (due.isEmpty()) {
      return;
    }
    if (due.get().isAfter(work.at())) {
      Alerts.holdTestNotDue(work, cell);
      work.effect(new Effect.TimerSet(TIMER + cell, Duration.between(work.at(), due.get())));
    } else {
      Alerts.holdTestDue(work, cell, work.cell(cell).test().passed());
    }
  }

  /** When the next proof is due; empty where none is asked for. */
  static Optional<Instant> due(CellState state) {
    Optional<Instant> from = state.test().passed().or(state.test()::since);
    return state.policy().holdTestEvery().flatMap(every -> from.map(at -> at.plus(every)));
  }
}

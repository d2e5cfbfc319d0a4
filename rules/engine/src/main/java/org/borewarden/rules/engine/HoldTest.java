package org.borewarden.rules.engine;

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
 * @param hold the number of the hold that proves it; 0 while none runs
 * @param passed when it was last passed
 */
record HoldTest(int hold, Optional<Instant> passed) {
  /** The reason code with which a hold is asked for as a test. */
  static final String REASON = "hold-path-test";

  static final HoldTest NEVER = new HoldTest(0, Optional.empty());

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
    work.cells.put(
        cell, state.withTest(new HoldTest(state.hold().number(), state.test().passed())));
  }

  /** Looks at a hold that changed: is the test passed, or did the hold end before. */
  static void watch(Work work, String cell, HoldState is) {
    CellState state = work.cell(cell);
    int tested = state.test().hold();
    if (tested == 0) {
      return;
    }
    if (tested != is.number()) {
      work.cells.put(cell, state.withTest(new HoldTest(0, state.test().passed())));
    } else if (is.heard() && is.stopped()) {
      work.cells.put(cell, state.withTest(new HoldTest(0, Optional.of(work.at()))));
      work.decide(new Decision.HoldTestPassed(cell, tested));
    }
  }
}

package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.junit.jupiter.api.Test;

class DecisionCodecTest {
  @Test
  void everyKindOfDecisionHasANameOfItsOwnWhichIsNoEvents() {
    Map<Class<?>, String> names = new HashMap<>();
    RandomShift shift = new RandomShift(7);
    State state = State.initial();
    long seq = 0;
    for (int i = 0; i < 4000; i++) {
      Instant at = shift.later();
      Stamped stamped = new Stamped(seq + 1, at, shift.next(state));
      Step step = Engine.step(state, stamped);
      shift.saw(stamped.seq(), step);
      state = step.next();
      seq = stamped.seq() + step.decisions().size();
      for (Decision decision : step.decisions()) {
        String kind = DecisionCodec.encode(decision).kind();
        assertThat(EventCodec.isEvent(kind)).as(kind).isFalse();
        assertThat(names.putIfAbsent(decision.getClass(), kind)).isIn(null, kind);
      }
    }
    // A random shift does not ask for a test of the hold path and then let the cell hear and stop.
    Decision tested = new Decision.HoldTestPassed("cell-4", 1);
    names.put(tested.getClass(), DecisionCodec.encode(tested).kind());
    // Nor does it put a cell into test mode.
    Decision walked =
        new Decision.CellTestEnded(
            "cell-4", 41, shift.later(), "k-berg", "local:root", "passed", 304, 0);
    names.put(walked.getClass(), DecisionCodec.encode(walked).kind());
    assertThat(names.keySet()).isEqualTo(EventCodecTest.leaves(Decision.class));
    assertThat(names.values()).doesNotHaveDuplicates();
  }
}

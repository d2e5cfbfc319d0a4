package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.payload.RandomShift;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.State;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Every decision can be derived again from the events, and one that was altered is found. */
class RejudgeTest {
  private final LoopBench bench = new LoopBench();

  @BeforeEach
  void shift() throws Exception {
    RandomShift shift = new RandomShift(3);
    State state = State.initial();
    for (int i = 0; i < 600; i++) {
      bench.wallMillis.set(shift.later().toEpochMilli());
      bench.nanos.addAndGet(1_000_000);
      bench.take(shift.next(state));
      bench.sync();
      Turn last = bench.stepped.get(bench.stepped.size() - 1);
      shift.saw(last.event().seq(), last.step());
      state = bench.state();
    }
  }

  @Test
  void whatWasWrittenIsDerivedAgain() throws Exception {
    Rejudge.Rejudged again = Rejudge.run(bench.journal, Shift::kept);
    assertThat(again.first()).isEmpty();
    assertThat(again.differences()).isZero();
    assertThat(again.lastSeq()).isEqualTo(bench.journal.lastSeq());
    assertThat(again.events() + again.decisions()).isEqualTo(bench.journal.lastSeq());
    assertThat(again.decisions()).isGreaterThan(100);
  }

  @Test
  void anAlteredVerdictIsFoundWhereItStands() throws Exception {
    int at = place("bore-judged");
    Entry was = bench.journal.entries.get(at);
    bench.journal.entries.set(at, with(was, was.body().replaceFirst("[0-9]", "x")));
    Rejudge.Rejudged again = Rejudge.run(bench.journal, Shift::kept);
    assertThat(again.differences()).isEqualTo(1);
    assertThat(again.first().orElseThrow())
        .startsWith("entry " + was.seq() + ": written bore-judged");
  }

  @Test
  void anAlteredReadingGivesAnotherVerdict() throws Exception {
    int at = place("bore-judged") - 1;
    Entry was = bench.journal.entries.get(at);
    Entry other =
        bench.journal.entries.stream()
            .filter(e -> e.topic().equals(was.topic()) && !e.body().equals(was.body()))
            .findFirst()
            .orElseThrow();
    bench.journal.entries.set(at, with(was, other.body()));
    assertThat(Rejudge.run(bench.journal, Shift::kept).differences()).isPositive();
  }

  @Test
  void aDecisionThatNothingLedToAndOneThatIsMissingAreFound() throws Exception {
    int at = place("bore-judged");
    Entry was = bench.journal.entries.get(at);
    bench.journal.entries.remove(at);
    Rejudge.Rejudged again = Rejudge.run(bench.journal, Shift::kept);
    assertThat(again.differences()).isPositive();
    assertThat(again.first().orElseThrow()).contains("entry ").contains("derived");
    assertThat(was.kind()).isEqualTo("bore-judged");
  }

  private int place(String kind) {
    List<Entry> entries = bench.journal.entries;
    for (int i = 0; i < entries.size(); i++) {
      if (entries.get(i).kind().equals(kind)) {
        return i;
      }
    }
    throw new AssertionError("no " + kind);
  }

  private static Entry with(Entry was, String body) {
    return new Entry(
        was.seq(), was.cause(), was.at(), was.kind(), was.topic(), was.prev(), was.rules(), body);
  }
}

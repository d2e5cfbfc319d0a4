package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.payload.RandomShift;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A start folds the journal through the same engine, to the same state. */
class ReplayTest {
  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {4, 5, 6})
  void theJournalOfALoopFoldsToTheLoopsOwnState(long seed) throws Exception {
    LoopBench bench = new LoopBench();
    RandomShift shift = new RandomShift(seed);
    State state = State.initial();
    for (int i = 0; i < 800; i++) {
      Instant at = shift.later();
      bench.wallMillis.set(at.toEpochMilli());
      bench.nanos.addAndGet(1_000_000);
      bench.take(shift.next(state));
      if (i % 3 == 0) {
        bench.sync();
      }
      Turn last = bench.stepped.get(bench.stepped.size() - 1);
      shift.saw(last.event().seq(), last.step());
      state = bench.state();
      if (i % 100 == 0) {
        assertThat(LoopBench.replayed(bench.journal).state()).as("seed " + seed).isEqualTo(state);
      }
    }
    Replay.Replayed replayed = LoopBench.replayed(bench.journal);
    assertThat(replayed.state()).as("seed " + seed).isEqualTo(state);
    assertThat(replayed.lastSeq()).isEqualTo(bench.journal.lastSeq());
  }

  @Test
  void whatIsLeftOfATimerIsLeftAfterARestartToo() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(Shift.bore("bore-1", "62.031 mm"));
    List<PastTimer> timers = LoopBench.replayed(bench.journal).timers();
    assertThat(timers).hasSize(1);
    assertThat(timers.get(0).timer().timer()).isEqualTo("ack:cell-4");

    Instant later = Instant.ofEpochMilli(bench.wallMillis.get()).plusSeconds(4);
    LoopBench next = new LoopBench(bench.journal, later, List.of());
    long before = bench.journal.lastSeq();
    next.pass(Duration.ofMillis(5_900));
    next.turn();
    assertThat(next.journal.kindsAfter(before)).doesNotContain("timer-fired");
    next.pass(Duration.ofMillis(100));
    next.turn();
    assertThat(next.journal.kindsAfter(before)).containsOnlyOnce("timer-fired");
  }

  @Test
  void aTimerThatWasClearedOrHasFiredIsNotKept() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(Shift.bore("bore-1", "62.031 mm"));
    bench.pass(Duration.ofSeconds(10));
    bench.turn();
    assertThat(LoopBench.replayed(bench.journal).timers()).isEmpty();
  }

  @Test
  void anEventThatFailedOnceFailsNoStartAndLeavesTheStartUnclean() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    State before = bench.state();
    bench.take(LoopTest.faulty());
    bench.take(new Event.AgentStopped());
    Replay.Replayed replayed = LoopBench.replayed(bench.journal);
    assertThat(replayed.state()).isEqualTo(before);
    assertThat(replayed.clean()).isFalse();
  }

  @Test
  void onlyAStopAsTheLastEventMakesAStartClean() throws Exception {
    LoopBench bench = new LoopBench();
    assertThat(LoopBench.replayed(bench.journal).clean()).isTrue();
    bench.startToPermit();
    assertThat(LoopBench.replayed(bench.journal).clean()).isFalse();
    bench.take(new Event.AgentStopped());
    assertThat(LoopBench.replayed(bench.journal).clean()).isTrue();
  }

  @Test
  void anEntryThatIsNotWhatItSaysIsToldWithItsPlace() {
    FakeJournal journal = new FakeJournal();
    journal.append(
        List.of(
            new Entry(
                1, 1, Instant.EPOCH, "grant-synced", Optional.empty(), 0, "", "{\"cell\": [}")));
    assertThatThrownBy(() -> Replay.fold(journal, Shift::kept))
        .isInstanceOf(JournalException.class)
        .hasMessageContaining("entry 1 (grant-synced)");
  }
}

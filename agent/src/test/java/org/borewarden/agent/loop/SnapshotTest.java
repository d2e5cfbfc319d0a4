package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Snapshot;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.payload.RandomShift;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A start from a snapshot goes on as the run that wrote it would have. */
class SnapshotTest {
  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 20260504})
  void whatGoesOnFromASnapshotAnywhereDecidesTheSameToTheLastByte(long seed) throws Exception {
    RandomShift shift = new RandomShift(seed);
    Random points = new Random(seed);
    Standing whole = Standing.INITIAL;
    Standing broken = Standing.INITIAL;
    long seq = 0;
    for (int i = 0; i < 1200; i++) {
      Stamped stamped = new Stamped(seq + 1, shift.later(), shift.next(whole.state()));
      Step step = Boundary.step(whole.state(), stamped, e -> {});
      Step same = Boundary.step(broken.state(), stamped, e -> {});
      String where = "seed " + seed + ", event " + i;
      assertThat(text(same.decisions())).as(where).isEqualTo(text(step.decisions()));
      whole = after(whole, stamped, step);
      broken = after(broken, stamped, same);
      shift.saw(stamped.seq(), step);
      seq = stamped.seq() + step.decisions().size();
      if (points.nextInt(20) == 0) {
        String written = broken.text();
        broken = Standing.read(written);
        assertThat(broken).as(where).isEqualTo(whole);
        assertThat(broken.text()).as(where).isEqualTo(written);
      }
    }
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = 7)
  void aJournalFoldsToTheSameWithAndWithoutItsSnapshots(long seed) throws Exception {
    LoopBench bench = new LoopBench();
    RandomShift shift = new RandomShift(seed);
    State state = State.initial();
    while (bench.journal.snapshots.isEmpty()) {
      bench.wallMillis.set(shift.later().toEpochMilli());
      bench.nanos.addAndGet(1_000_000);
      bench.take(shift.next(state));
      bench.sync();
      Turn last = bench.stepped.get(bench.stepped.size() - 1);
      shift.saw(last.event().seq(), last.step());
      state = bench.state();
    }
    Replay.Replayed quick = LoopBench.replayed(bench.journal);
    bench.journal.snapshots.clear();
    Replay.Replayed slow = LoopBench.replayed(bench.journal);
    assertThat(quick.snapshotSeq()).isGreaterThan(Loop.SNAPSHOT_EVERY - 1);
    assertThat(slow.snapshotSeq()).isZero();
    assertThat(quick.state()).as("seed " + seed).isEqualTo(slow.state()).isEqualTo(state);
    assertThat(quick.timers()).isEqualTo(slow.timers());
    assertThat(quick.lastSeq()).isEqualTo(slow.lastSeq());
    assertThat(quick.clean()).isEqualTo(slow.clean());
  }

  @Test
  void aCleanStopLeavesASnapshotFromWhichNothingIsReplayed() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(Shift.bore("bore-1", "62.031 mm"));
    assertThat(bench.journal.snapshots).isEmpty();
    bench.take(new Event.AgentStopped());
    Replay.Replayed replayed = LoopBench.replayed(bench.journal);
    assertThat(replayed.snapshotSeq()).isEqualTo(bench.journal.lastSeq());
    assertThat(replayed.clean()).isTrue();
    assertThat(replayed.timers()).extracting(t -> t.timer().timer()).containsExactly("ack:cell-4");
  }

  @Test
  void aStopAfterAFaultOfOurOwnIsNoCleanOneByTheSnapshotEither() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(LoopTest.faulty());
    bench.take(new Event.AgentStopped());
    Replay.Replayed replayed = LoopBench.replayed(bench.journal);
    assertThat(replayed.snapshotSeq()).isEqualTo(bench.journal.lastSeq());
    assertThat(replayed.clean()).isFalse();
  }

  @Test
  void aSnapshotThatIsNotOursOrDoesNotReadIsPassedOver() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(new Event.AgentStopped());
    Snapshot good = bench.journal.snapshots.get(0);
    Replay.Replayed expected = LoopBench.replayed(bench.journal);

    bench.journal.snapshots.set(0, new Snapshot(good.seq(), "another layout", good.body()));
    assertThat(LoopBench.replayed(bench.journal).snapshotSeq()).isZero();

    bench.journal.snapshots.set(0, new Snapshot(good.seq(), good.layout(), "{\"state\":"));
    bench.journal.snapshots.add(good);
    assertThat(LoopBench.replayed(bench.journal)).isEqualTo(expected);
    assertThat(expected.snapshotSeq()).isEqualTo(good.seq());
  }

  @Test
  void nothingIsFilledInThatASnapshotDoesNotSayAndNothingItSaysIsPassedOver() {
    String text = Standing.INITIAL.text();
    assertThat(text).contains("\"faulted\":false").contains("\"bootId\":0");
    assertThatThrownBy(() -> Standing.read(text.replace(",\"faulted\":false", "")))
        .isInstanceOf(JsonProcessingException.class);
    assertThatThrownBy(() -> Standing.read(text.replace("\"bootId\":0", "\"bootId\":null")))
        .isInstanceOf(JsonProcessingException.class);
    assertThatThrownBy(() -> Standing.read(text.replace("{\"bootId\"", "{\"more\":1,\"bootId\"")))
        .isInstanceOf(JsonProcessingException.class);
  }

  @Test
  void whereTheFirstEntriesAreGoneAndNoSnapshotReadsTheStartIsUncleanAndSaysSo() throws Exception {
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    bench.take(new Event.AgentStopped());
    bench.journal.snapshots.clear();
    bench.journal.entries.remove(0);
    bench.journal.firstSeq = 2;
    Replay.Replayed replayed = LoopBench.replayed(bench.journal);
    assertThat(replayed.forgot()).isTrue();
    assertThat(replayed.clean()).isFalse();
    assertThat(replayed.lastSeq()).isEqualTo(bench.journal.lastSeq());
    assertThat(replayed.state()).isEqualTo(State.initial());

    LoopBench next = new LoopBench(bench.journal, Instant.parse("2026-05-05T09:00:00Z"), List.of());
    next.take(Shift.started(8, replayed.clean()));
    assertThat(next.state().cellView("cell-4", Instant.EPOCH).orElseThrow().hold().causes())
        .extracting(c -> c.reason().key())
        .containsExactly("unclean-stop");
    assertThat(bench.journal.entries).extracting(Entry::seq).doesNotHaveDuplicates();
  }

  private static Standing after(Standing before, Stamped stamped, Step step) {
    PastTimers timers = new PastTimers(before.timers());
    timers.take(stamped, step);
    return new Standing(step.next(), timers.list(), false, false);
  }

  private static List<String> text(List<Decision> decisions) {
    List<String> texts = new ArrayList<>();
    decisions.forEach(d -> texts.add(DecisionCodec.encode(d).toString()));
    return texts;
  }
}

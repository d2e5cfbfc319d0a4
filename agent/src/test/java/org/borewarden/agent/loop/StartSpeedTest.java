package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.api.io.TempDir;

/**
 * How long a start takes on a long journal, from its first entry and from its snapshot. A
 * measurement: runs only with {@code -Dborewarden.long=true} and prints its figures.
 */
@EnabledIfSystemProperty(named = "borewarden.long", matches = "true")
class StartSpeedTest {
  private static final int READINGS = 100_000;

  /** What a kill leaves to be replayed after the last snapshot, at most about. */
  private static final int AFTER_SNAPSHOT = Loop.SNAPSHOT_EVERY;

  @TempDir Path data;

  private final AtomicLong durable = new AtomicLong();

  @Test
  void aStartFromASnapshotIsShort() throws Exception {
    long last = write();
    long opening = System.nanoTime();
    try (JournalStore store = open();
        JournalView view = store.reader()) {
      long opened = System.nanoTime();
      Replay.Replayed quick = Replay.fold(view, Shift::kept);
      long folded = System.nanoTime();
      Replay.Replayed slow = Replay.fold(new WithoutSnapshots(view), Shift::kept);
      long all = System.nanoTime();
      System.out.printf(
          Locale.ROOT,
          "%d readings, %d entries: open and check %.1f s, fold from the snapshot at %d %.1f s,"
              + " fold of all %.1f s%n",
          READINGS,
          last,
          (opened - opening) / 1e9,
          quick.snapshotSeq(),
          (folded - opened) / 1e9,
          (all - folded) / 1e9);
      assertThat(quick.state()).isEqualTo(slow.state());
      assertThat(quick.lastSeq()).isEqualTo(last);
      assertThat(quick.snapshotSeq()).isGreaterThan(last - 2 * AFTER_SNAPSHOT);
    }
  }

  private long write() throws Exception {
    try (JournalStore store = open()) {
      store.start(new Durable());
      Recorder recorder = new Recorder(Map.of());
      State state = State.initial();
      PastTimers timers = new PastTimers(List.of());
      long seq = 0;
      long snapshot = 0;
      Instant at = Instant.parse("2026-05-04T06:00:00Z");
      for (int i = 0; i < READINGS + 3; i++) {
        at = at.plusSeconds(1);
        Stamped stamped = new Stamped(seq + 1, at, event(i));
        Step step = Boundary.step(state, stamped, e -> {});
        state = step.next();
        timers.take(stamped, step);
        Turn turn = new Turn(stamped, step, state.rulesRevision());
        seq = turn.lastSeq();
        while (!store.hasRoom()) {
          Thread.onSpinWait();
        }
        store.append(recorder.entries(turn));
        if (seq - snapshot >= Loop.SNAPSHOT_EVERY && i < READINGS - AFTER_SNAPSHOT / 3) {
          snapshot = seq;
          Standing standing = new Standing(state, timers.list(), false, false);
          store.putSnapshot(seq, 0, Standing.LAYOUT, standing::text);
        }
      }
      return seq;
    }
  }

  private static Event event(int i) {
    return switch (i) {
      case 0 -> Shift.started(1, true);
      case 1 -> new Event.RulesLoaded(Shift.RULES);
      case 2 -> Shift.port("port-a", true);
      default -> Shift.bore("bore-1", "62.01" + i % 7 + " mm");
    };
  }

  private JournalStore open() throws Exception {
    return JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime);
  }

  private final class Durable implements JournalListener {
    @Override
    public void durable(long seq) {
      durable.set(seq);
    }

    @Override
    public void failed(String why) {
      throw new IllegalStateException(why);
    }

    @Override
    public void recovered() {}
  }

  private record WithoutSnapshots(JournalView view) implements JournalView {
    @Override
    public String journalId() {
      return view.journalId();
    }

    @Override
    public long lastSeq() {
      return view.lastSeq();
    }

    @Override
    public List<Entry> read(long fromSeq, int max)
        throws org.borewarden.agent.journal.JournalException {
      return view.read(fromSeq, max);
    }

    @Override
    public Map<String, Long> lastSeqPerTopic()
        throws org.borewarden.agent.journal.JournalException {
      return view.lastSeqPerTopic();
    }

    @Override
    public java.util.Optional<String> text(String name)
        throws org.borewarden.agent.journal.JournalException {
      return view.text(name);
    }

    @Override
    public void close() {}
  }
}

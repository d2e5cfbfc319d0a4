package org.borewarden.agent.loop;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.journal.Snapshot;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;

/**
 * Writes the journal that a version leaves behind, to be kept in test resources: a held cell, a
 * part of the outbox acknowledged, one row refused, stopped in order with a snapshot. Run it by
 * hand, with the version whose layout is to be kept, before that layout is changed; the argument is
 * the file.
 */
public final class GoldenJournalWriter {
  private GoldenJournalWriter() {}

  /** Writes the file. */
  public static void main(String[] args) throws Exception {
    Path data = Files.createTempDirectory("golden");
    LoopBench bench = new LoopBench();
    bench.startToPermit();
    for (int i = 0; i < 12; i++) {
      bench.take(Shift.bore("bore-1", "62.0" + (10 + i) + " mm"));
      bench.take(Shift.bore("bore-2", "40.012 mm"));
    }
    bench.take(Shift.bore("bore-1", "62.031 mm"));
    bench.take(new Event.AgentStopped());
    Instant now = Instant.parse("2026-05-05T08:00:00Z");
    try (JournalStore store =
        JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", () -> now, System::nanoTime)) {
      Written written = new Written(bench.journal.lastSeq());
      store.start(written);
      Shift.texts().forEach((revision, text) -> store.putText("rules/" + revision, text));
      for (List<Entry> group : groups(bench.journal.entries)) {
        store.append(group);
      }
      for (Snapshot snapshot : bench.journal.snapshots) {
        store.putSnapshot(snapshot.seq(), 0, snapshot.layout(), snapshot::body);
      }
      written.done.await();
      Outbox outbox = store.outbox();
      List<Entry> rows = outbox.next(0, 4);
      outbox.acknowledged(rows.get(0).seq());
      outbox.acknowledged(rows.get(1).seq());
      outbox.acknowledged(rows.get(2).seq());
      outbox.setAside(rows.get(3).seq(), "not authorized");
    }
    // The outbox was still being read when the writer ended: once more, so that all is in the file.
    try (JournalStore store =
        JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", () -> now, System::nanoTime)) {
      store.start(new Written(0));
    }
    Files.copy(
        data.resolve("journal").resolve("journal.db"),
        Path.of(args[0]),
        StandardCopyOption.REPLACE_EXISTING);
  }

  private static List<List<Entry>> groups(List<Entry> entries) {
    List<List<Entry>> groups = new ArrayList<>();
    for (Entry entry : entries) {
      if (entry.cause() == entry.seq()) {
        groups.add(new ArrayList<>());
      }
      groups.get(groups.size() - 1).add(entry);
    }
    return groups;
  }

  private static final class Written implements JournalListener {
    private final CountDownLatch done = new CountDownLatch(1);
    private final long last;

    Written(long last) {
      this.last = last;
    }

    @Override
    public void durable(long seq) {
      if (seq == last) {
        done.countDown();
      }
    }

    @Override
    public void failed(String why) {
      throw new IllegalStateException(why);
    }

    @Override
    public void recovered() {}
  }
}

package org.borewarden.agent.journal;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.borewarden.agent.config.JournalConfig;

/** Opens journals for tests. */
final class Stores {
  static final Instant NOW = Instant.parse("2026-03-02T06:00:00Z");

  /** Short waits, so that tests of failures do not take long. */
  static final Pace QUICK =
      new Pace(
          500,
          Duration.ZERO,
          Duration.ofMillis(5),
          Duration.ofMillis(50),
          Duration.ofMillis(5),
          Duration.ofMillis(50),
          Duration.ofSeconds(20),
          32L << 20);

  private Stores() {}

  static JournalStore open(Path data) throws JournalException {
    return JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", () -> NOW, System::nanoTime);
  }

  static JournalStore open(Path data, Connector connector) throws JournalException {
    return open(data, connector, new PendingWork(20_000, QUICK));
  }

  static JournalStore open(Path data, Connector connector, PendingWork work)
      throws JournalException {
    return JournalStore.open(data, connector, work, "0.1.0", () -> NOW, System::nanoTime);
  }

  static List<Entry> all(JournalView view) throws JournalException {
    List<Entry> entries = new ArrayList<>();
    List<Entry> page = view.read(1, 1_000);
    while (!page.isEmpty()) {
      entries.addAll(page);
      page = view.read(page.get(page.size() - 1).seq() + 1, 1_000);
    }
    return entries;
  }

  static void await(String what, BooleanSupplier done) throws InterruptedException {
    long end = System.nanoTime() + Heard.DEADLINE.toNanos();
    Object pause = new Object();
    while (!done.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new AssertionError("waited in vain until " + what);
      }
      synchronized (pause) {
        pause.wait(2);
      }
    }
  }
}

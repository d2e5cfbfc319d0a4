package org.borewarden.agent.faults.calls;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.faults.Waits;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalStore;

/**
 * A reader that opens the journal before the scribe does, and meets one open that fails for want of
 * a file handle. SQLite opens for reading what it could not open for writing, and keeps to it while
 * anybody in the process reads: the scribe has to ask the reader to let go.
 */
final class ReaderFirst {
  private static final int OPENS = 8;
  private static final Duration WRITTEN_WITHIN = Duration.ofSeconds(30);

  private final Path scratch;
  private final Calls.Slot slot;

  ReaderFirst(Path scratch, Calls.Slot slot) {
    this.scratch = scratch;
    this.slot = slot;
  }

  /** Each of the first opens; how many readers had one that failed and went on reading. */
  int run() throws Exception {
    int readers = 0;
    for (int n = 1; n <= OPENS; n++) {
      readers += one(scratch.resolve("open-" + n), n) ? 1 : 0;
    }
    return readers;
  }

  private boolean one(Path data, int n) throws Exception {
    slot.about(data);
    try (JournalStore store =
        JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime)) {
      slot.fail(Calls.Kind.OPEN, Calls.Fault.TOO_MANY_FILES, n, false);
      Optional<JournalReader> reader = reader(store);
      boolean struck = slot.struck() > 0;
      slot.disarm();
      try {
        requireWritten(store, n);
        if (reader.isPresent()) {
          assertThat(reader.get().read(1, 10)).as("the reader, open %s", n).hasSize(1);
        }
      } finally {
        reader.ifPresent(JournalReader::close);
      }
      return struck && reader.isPresent();
    }
  }

  private static Optional<JournalReader> reader(JournalStore store) {
    try {
      return Optional.of(store.reader());
    } catch (JournalException noHandle) {
      return Optional.empty();
    }
  }

  private static void requireWritten(JournalStore store, int n) throws Exception {
    AtomicLong durable = new AtomicLong();
    store.start(
        new JournalListener() {
          @Override
          public void durable(long seq) {
            durable.set(seq);
          }

          @Override
          public void failed(String why) {
            // That is what is attacked.
          }

          @Override
          public void recovered() {
            // The entry tells.
          }
        });
    store.append(
        List.of(new Entry(1, 1, Instant.EPOCH, "agent-stopped", Optional.empty(), 0, "", "{}")));
    assertThat(Waits.most(WRITTEN_WITHIN, () -> durable.get() == 1))
        .as("written although open %s failed once", n)
        .isTrue();
  }
}

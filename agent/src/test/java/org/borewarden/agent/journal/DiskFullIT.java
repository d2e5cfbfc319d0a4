package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DiskFullIT {
  private static final int CYCLES = Cases.count(5, 200);

  @TempDir Path scratch;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(5, 350);
  private final List<Entry> written = new ArrayList<>();
  private Path disk;
  private Path ballast;

  @BeforeEach
  void mount() throws Exception {
    disk = Files.createDirectory(scratch.resolve("disk"));
    ballast = disk.resolve("ballast");
    Machine.need(
        "mounting a tmpfs", "mount", "-t", "tmpfs", "-o", "size=64m", "tmpfs", disk.toString());
  }

  @AfterEach
  void unmount() throws Exception {
    Machine.run("umount", disk.toString());
  }

  @Test
  void aFullDiskIsToldAndNothingIsLostWhenThereIsSpaceAgain() throws Exception {
    Path data = disk.resolve("data");
    Duration slowest = Duration.ZERO;
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      Outbox outbox = store.outbox();
      append(store);
      heard.awaitDurable(written.size());
      for (int cycle = 1; cycle <= CYCLES; cycle++) {
        fill();
        appendUntilFailed(store, cycle);
        long promised = heard.durable();
        append(store);
        acknowledgeFirst(outbox);
        fill();
        assertThat(store.stats().writable()).isFalse();
        assertThat(heard.recoveries()).isEqualTo(cycle - 1);
        try (JournalReader reader = store.reader()) {
          assertThat(reader.lastSeq()).isGreaterThanOrEqualTo(promised);
        }

        Files.delete(ballast);
        long begun = System.nanoTime();
        heard.awaitRecoveries(cycle);
        heard.awaitDurable(written.size());
        Duration took = Duration.ofNanos(System.nanoTime() - begun);
        slowest = took.compareTo(slowest) > 0 ? took : slowest;
      }
      assertThat(heard.failures()).isEqualTo(CYCLES);
      try (JournalReader reader = store.reader()) {
        assertThat(Stores.all(reader)).isEqualTo(written);
      }
    }
    System.err.printf("%d full disks, written again after at most %s%n", CYCLES, slowest);
    assertThat(Verify.dataFolder(data).first()).isEmpty();
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().cleanStop()).isTrue();
      assertThat(store.stats().outboxWaiting())
          .isEqualTo(written.stream().filter(e -> e.topic().isPresent()).count() - CYCLES);
    }
  }

  private void append(JournalStore store) {
    List<Entry> event = ledger.event();
    written.addAll(event);
    store.append(event);
  }

  /** The log has room that it used before; a full disk shows when that is used up. */
  private void appendUntilFailed(JournalStore store, int failures) throws Exception {
    while (heard.failures() < failures) {
      append(store);
      int count = written.size();
      Stores.await("an answer", () -> heard.durable() >= count || heard.failures() >= failures);
    }
  }

  private void acknowledgeFirst(Outbox outbox) throws JournalException {
    outbox.acknowledged(outbox.next(0, 1).get(0).seq());
  }

  private void fill() throws IOException {
    ByteBuffer page = ByteBuffer.allocate(64 << 10);
    try (FileChannel channel =
        FileChannel.open(ballast, StandardOpenOption.CREATE, StandardOpenOption.APPEND)) {
      while (true) {
        channel.write(page.clear());
      }
    } catch (IOException e) {
      assertThat(e).hasMessageContaining("No space left");
    }
  }
}

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
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Fills the file system below the journal: its bytes, or its inodes, which new files need. */
class DiskFullIT {
  private static final int CYCLES = Cases.count(5, 200);

  /** The project's own figures for a machine that does nothing else. */
  private static final Duration SAID_WITHIN = Duration.ofSeconds(2);

  private static final Duration WRITTEN_WITHIN = Duration.ofSeconds(5);

  /** A start from nothing needs fewer. */
  private static final int MOST_INODES_LEFT = 8;

  private static final int PAGE = 4096;

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
        "mounting a tmpfs",
        "mount",
        "-t",
        "tmpfs",
        "-o",
        "size=64m,nr_inodes=64",
        "tmpfs",
        disk.toString());
  }

  @AfterEach
  void unmount() throws Exception {
    Machine.run("umount", disk.toString());
  }

  @Test
  void aFullDiskIsToldAndNothingIsLostWhenThereIsSpaceAgain() throws Exception {
    Path data = disk.resolve("data");
    Duration slowestSaid = Duration.ZERO;
    Duration slowest = Duration.ZERO;
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      Outbox outbox = store.outbox();
      append(store);
      heard.awaitDurable(written.size());
      for (int cycle = 1; cycle <= CYCLES; cycle++) {
        fill();
        slowestSaid = longer(slowestSaid, appendUntilFailed(store, cycle));
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
        slowest = longer(slowest, Duration.ofNanos(System.nanoTime() - begun));
      }
      assertThat(heard.failures()).isEqualTo(CYCLES);
      try (JournalReader reader = store.reader()) {
        assertThat(Stores.all(reader)).isEqualTo(written);
      }
    }
    System.err.printf(
        "%d full disks, said after at most %s, written again after at most %s%n",
        CYCLES, slowestSaid, slowest);
    assertThat(slowestSaid).isLessThan(SAID_WITHIN);
    assertThat(slowest).isLessThan(WRITTEN_WITHIN);
    assertThat(Verify.dataFolder(data).first()).isEmpty();
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().cleanStop()).isTrue();
      assertThat(store.stats().outboxWaiting())
          .isEqualTo(written.stream().filter(e -> e.topic().isPresent()).count() - CYCLES);
    }
  }

  @Test
  void aStartWithoutInodesOrSpaceSaysSoAndTheNextOneGoesOn() throws Exception {
    int said = 0;
    for (int cycle = 0; cycle < CYCLES; cycle++) {
      Path data = disk.resolve("data-" + cycle);
      List<Path> inodes = takeInodes(cycle % MOST_INODES_LEFT);
      said += startFails(data, Optional.empty()) ? 1 : 0;
      deleteAll(inodes);
      fill();
      said += startFails(data, Optional.empty()) ? 1 : 0;
      Files.delete(ballast);
      List<Entry> entries = new Ledger(cycle, 350).events(3);
      try (JournalStore store = Stores.open(data)) {
        assertThat(store.opened().lastSeq()).isZero();
        assertThat(store.opened().setAside()).isEmpty();
        Heard own = new Heard();
        store.start(own);
        store.append(entries);
        own.awaitDurable(entries.size());
      }

      inodes = takeInodes(0);
      assertThat(startFails(data, Optional.of(entries))).as("no inode for the log").isTrue();
      said++;
      deleteAll(inodes);
      fill();
      said += startFails(data, Optional.of(entries)) ? 1 : 0;
      Files.delete(ballast);
      assertThat(startFails(data, Optional.of(entries))).as("cycle %s, all free", cycle).isFalse();
      deleteAll(below(data));
    }
    System.err.printf(
        "%d rounds of two starts without inodes and two without space: %d said so, the others had"
            + " enough; each journal whole, none put aside%n",
        CYCLES, said);
    assertThat(said).isGreaterThan(CYCLES);
  }

  /** Whether a start says that it cannot; where it can, the journal is what was written to it. */
  private static boolean startFails(Path data, Optional<List<Entry>> written) throws Exception {
    try (JournalStore store = Stores.open(data)) {
      List<Entry> expected = written.orElse(List.of());
      assertThat(store.opened().setAside()).isEmpty();
      assertThat(store.opened().lastSeq()).isEqualTo(expected.size());
      try (JournalReader reader = store.reader()) {
        assertThat(Stores.all(reader)).isEqualTo(expected);
      }
      return false;
    } catch (JournalException e) {
      assertThat(e).hasMessageContaining(data.toString());
      return true;
    }
  }

  /** Takes all inodes but some, while there is space. */
  private List<Path> takeInodes(int left) throws IOException {
    List<Path> taken = new ArrayList<>();
    try {
      while (true) {
        taken.add(Files.createFile(disk.resolve("inode-" + taken.size())));
      }
    } catch (IOException e) {
      assertThat(e).hasMessageContaining("No space left");
    }
    assertThat(disk.toFile().getUsableSpace()).isGreaterThan(32L << 20);
    for (int i = 0; i < left; i++) {
      Files.delete(taken.remove(taken.size() - 1));
    }
    return taken;
  }

  /** A folder and what is in it, what is deepest first. */
  private static List<Path> below(Path folder) throws IOException {
    try (Stream<Path> walked = Files.walk(folder)) {
      return walked.sorted(Comparator.reverseOrder()).toList();
    }
  }

  private static void deleteAll(List<Path> files) throws IOException {
    for (Path file : files) {
      Files.delete(file);
    }
  }

  private static Duration longer(Duration a, Duration b) {
    return a.compareTo(b) > 0 ? a : b;
  }

  private void append(JournalStore store) {
    List<Entry> event = ledger.event();
    written.addAll(event);
    store.append(event);
  }

  /**
   * The log has room that it used before; a full disk shows when that is used up.
   *
   * @return how long after what could not be written that was said
   */
  private Duration appendUntilFailed(JournalStore store, int failures) throws Exception {
    long begun = 0;
    while (heard.failures() < failures) {
      begun = System.nanoTime();
      append(store);
      int count = written.size();
      Stores.await("an answer", () -> heard.durable() >= count || heard.failures() >= failures);
    }
    return Duration.ofNanos(System.nanoTime() - begun);
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
    assertThat(disk.toFile().getUsableSpace()).isLessThan(PAGE);
  }
}

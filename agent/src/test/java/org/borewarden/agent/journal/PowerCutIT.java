package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.journal.WriterProcess.Mode;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.Folders;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Cuts a file system off in the midst of writing, as a power failure would: what was not synced is
 * gone.
 *
 * <p>One writer lives through many cuts, since starting one takes longer than all the rest. Of what
 * it says nothing is counted from the cut until it has closed its journal, the file system has come
 * back, and it is told to open the journal again.
 */
class PowerCutIT {
  private static final int CUTS = Cases.count(6, 3_000);
  private static final int CONTROL_CUTS = 3;

  /** Then another begins: a long one takes long to verify. */
  private static final int CUTS_OF_A_JOURNAL = 10;

  /** Of so many cuts one comes while the journal is made or opened. */
  private static final int ONE_OPENING_OF = 5;

  private static final int MOST_LINES = 80;
  private static final int MOST_MILLIS_OF_OPENING = 40;

  @TempDir Path scratch;

  private final long seed = Long.getLong("borewarden.seed", System.nanoTime());
  private final Random random = new Random(seed);
  private CutDisk disk;
  private Optional<Child> child = Optional.empty();
  private int writers;
  private int busy;
  private int amidOpening;

  @BeforeEach
  void makeDisk() throws Exception {
    System.err.println("power cuts: seed " + seed);
    disk = new CutDisk(scratch);
  }

  @AfterEach
  void unmount() throws Exception {
    kill();
    disk.remove();
  }

  @Test
  void everyDurableEntryIsThereAfterAPowerCut() throws Exception {
    long begun = System.nanoTime();
    long promisedInAll = 0;
    long promised = 0;
    for (int i = 0; i < CUTS; i++) {
      Path data = disk.folder().resolve("data-" + i / CUTS_OF_A_JOURNAL);
      promised = Math.max(promised, runAndCut(Mode.HONEST, data, i % ONE_OPENING_OF == 0));
      try (JournalStore store = Stores.open(data)) {
        assertThat(store.opened().setAside()).as("cut %s", i).isEmpty();
        assertThat(store.opened().lastSeq()).as("cut %s", i).isGreaterThanOrEqualTo(promised);
      }
      assertThat(Verify.dataFolder(data).first()).as("cut %s", i).isEmpty();
      if (i % CUTS_OF_A_JOURNAL == CUTS_OF_A_JOURNAL - 1 || i == CUTS - 1) {
        promisedInAll += promised;
        promised = 0;
        Folders.delete(data);
      }
    }
    System.err.printf(
        "%s: %d power cuts, %d of them before the journal was open, %d entries promised, none lost;"
            + " %d writers, %d times still busy; %d ms a cut%n",
        CutDisk.KIND,
        CUTS,
        amidOpening,
        promisedInAll,
        writers,
        busy,
        Duration.ofNanos(System.nanoTime() - begun).toMillis() / CUTS);
    assertThat(promisedInAll).isGreaterThan(CUTS);
  }

  /** If nothing is lost here, the test above could not fail. */
  @Test
  void aWriterThatDoesNotSyncIsFoundOut() throws Exception {
    int lost = 0;
    for (int i = 0; i < CONTROL_CUTS; i++) {
      Path data = disk.folder().resolve("data-" + i);
      long promised = runAndCut(Mode.UNSYNCED, data, false);
      lost += lastSeq(data) < promised ? 1 : 0;
    }
    System.err.printf(
        "%s control: %d of %d cuts lost promised entries%n", CutDisk.KIND, lost, CONTROL_CUTS);
    assertThat(lost).isPositive();
  }

  /**
   * Lets a writer write until the cut. It is frozen for the cut, as a machine without power can say
   * nothing after it: a sync that is under way while ext4 is shut down was seen to succeed with its
   * data gone, which is the shutdown's doing and not a disk's. Thawed, it meets a dead disk, and
   * what it says there does not count.
   *
   * @return all that it had promised since it was told to open the journal
   */
  private long runAndCut(Mode mode, Path data, boolean whileOpening) throws Exception {
    Child writer = begin(mode, data);
    if (whileOpening) {
      writer.leaveAlone(Duration.ofMillis(random.nextInt(MOST_MILLIS_OF_OPENING)));
    } else {
      writer.readUntilStarted();
      writer.readLines(1 + random.nextInt(MOST_LINES));
    }
    disk.freeze(writer);
    writer.readWhatIsThere();
    amidOpening += writer.hasStarted() ? 0 : 1;
    long promised = writer.durable();
    disk.cut();
    writer.tell("close");
    disk.thaw(writer);
    if (!writer.hasClosed()) {
      kill();
    }
    if (!disk.mountAgain()) {
      busy++;
      kill();
      assertThat(disk.mountAgain()).as("mounted again when the writer is gone").isTrue();
    }
    return promised;
  }

  private Child begin(Mode mode, Path data) throws IOException {
    if (child.isPresent()) {
      child.get().open(data);
      return child.get();
    }
    writers++;
    Child fresh = Child.begin(List.of(), mode, data, scratch);
    child = Optional.of(fresh);
    return fresh;
  }

  private void kill() throws IOException, InterruptedException {
    if (child.isPresent()) {
      child.get().kill();
      child = Optional.empty();
    }
  }

  /** What a start finds; damage of a writer that does not sync counts as everything lost. */
  private static long lastSeq(Path data) throws Exception {
    try (JournalStore store = Stores.open(data)) {
      return store.opened().lastSeq();
    }
  }
}

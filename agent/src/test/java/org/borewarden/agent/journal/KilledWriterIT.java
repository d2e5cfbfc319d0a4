package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class KilledWriterIT {
  private static final int ROUNDS = Cases.count(5, 300);
  private static final int CONTROL_ROUNDS = 5;
  private static final int SECOND_AGENTS = Cases.count(3, 100);
  private static final int RETIRING_ROUNDS = Cases.count(3, 300);

  @TempDir Path scratch;

  @Test
  void afterEachKillEveryDurableEntryIsThereAndTheChainHolds() throws Exception {
    long seed = System.nanoTime();
    System.err.println("afterEachKill: seed " + seed);
    Random random = new Random(seed);
    Path data = scratch.resolve("data");
    Set<Long> acknowledged = new HashSet<>();
    long more = 0;
    long last = 0;
    for (int round = 0; round < ROUNDS; round++) {
      long durable;
      try (Child child = Child.start(WriterProcess.Mode.HONEST, data, scratch)) {
        child.readLines(random.nextInt(300));
        child.kill();
        durable = child.durable();
        acknowledged.addAll(child.acknowledged());
      }
      last = requireWhole(data, durable, acknowledged);
      more += Math.max(0, last - durable);
    }
    System.err.printf(
        "%d kills, %d entries, %d stored beyond the last promise%n", ROUNDS, last, more);
    assertThat(last).isGreaterThan(ROUNDS);
  }

  @Test
  void aKillAmidSnapshotsAndRetentionLeavesAJournalThatIsWhole() throws Exception {
    long seed = System.nanoTime();
    System.err.println("aKillAmidSnapshotsAndRetention: seed " + seed);
    Random random = new Random(seed);
    Path data = scratch.resolve("data");
    long first = 1;
    long last = 0;
    for (int round = 0; round < RETIRING_ROUNDS; round++) {
      long durable;
      try (Child child = Child.start(WriterProcess.Mode.RETIRING, data, scratch)) {
        child.readLines(100 + random.nextInt(600));
        child.kill();
        durable = child.durable();
      }
      try (JournalStore store = Stores.open(data);
          JournalReader reader = store.reader()) {
        assertThat(store.opened().setAside()).as("round " + round).isEmpty();
        assertThat(store.opened().toAdopt()).as("round " + round).isEmpty();
        assertThat(store.opened().lastSeq()).isGreaterThanOrEqualTo(durable);
        assertThat(reader.firstSeq()).isGreaterThanOrEqualTo(first);
        first = reader.firstSeq();
        last = store.opened().lastSeq();
        List<Snapshot> snapshots = reader.snapshots();
        assertThat(snapshots).as("round " + round).isNotEmpty();
        for (Snapshot snapshot : snapshots) {
          assertThat(snapshot.body()).isEqualTo("state after " + snapshot.seq());
          assertThat(snapshot.seq()).isGreaterThan(first);
        }
      }
      VerifyReport report = Verify.dataFolder(data);
      assertThat(report.first()).as("round " + round).isEmpty();
      assertThat(report.entries()).isEqualTo(last - first + 1);
    }
    System.err.printf(
        "%d kills, %d entries, of these %d retired%n", RETIRING_ROUNDS, last, first - 1);
    assertThat(first).isGreaterThan(1);
  }

  /** If this passes as honest, the test above could not fail. */
  @Test
  void aWriterThatPromisesTooEarlyIsFoundOut() throws Exception {
    int lost = 0;
    for (int round = 0; round < CONTROL_ROUNDS; round++) {
      Path data = scratch.resolve("early-" + round);
      try (Child child = Child.start(WriterProcess.Mode.EARLY, data, scratch)) {
        child.readLines(100);
        child.kill();
        if (Verify.dataFolder(data).lastSeq() < child.durable()) {
          lost++;
        }
      }
    }
    System.err.printf("control: %d of %d early promises found out%n", lost, CONTROL_ROUNDS);
    assertThat(lost).isPositive();
  }

  @Test
  void aSecondAgentIsRefusedAndTheFirstGoesOn() throws Exception {
    Path data = scratch.resolve("data");
    try (Child first = Child.start(WriterProcess.Mode.HONEST, data, scratch)) {
      first.readUntilDurable(1);
      for (int i = 0; i < SECOND_AGENTS; i++) {
        assertThatThrownBy(() -> Stores.open(data))
            .isInstanceOf(JournalException.class)
            .hasMessageContaining(data.toString())
            .hasMessageContaining("process " + first.pid());
        first.readUntilDurable(first.durable() + 1);
      }
      System.err.printf(
          "second agents: %d refused, the first went on after each, %d entries promised%n",
          SECOND_AGENTS, first.durable());
      assertThat(Verify.dataFolder(data).whole()).isTrue();
      first.kill();
    }
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().setAside()).isEmpty();
    }
  }

  private static long requireWhole(Path data, long durable, Set<Long> acknowledged)
      throws Exception {
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().setAside()).isEmpty();
      assertThat(store.opened().cleanStop()).isFalse();
      assertThat(store.opened().lastSeq()).isGreaterThanOrEqualTo(durable);
      Set<Long> waiting = new HashSet<>();
      store.outbox().next(0, 1000).forEach(row -> waiting.add(row.seq()));
      try (JournalReader reader = store.reader()) {
        List<Entry> first = reader.read(1, 500);
        first.stream()
            .filter(e -> e.topic().isPresent() && !acknowledged.contains(e.seq()))
            .forEach(e -> assertThat(waiting).contains(e.seq()));
      }
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first()).isEmpty();
    assertThat(report.entries()).isEqualTo(report.lastSeq());
    return report.lastSeq();
  }
}

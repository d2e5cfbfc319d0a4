package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.journal.FaultyConnector.Fault;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class ScribeFailureTest {
  private static final List<Fault> FAULTS = List.of(Fault.BEFORE_COMMIT, Fault.AFTER_COMMIT);

  @TempDir Path data;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(2, 350);

  @ParameterizedTest
  @EnumSource(
      value = Fault.class,
      names = {"BEFORE_COMMIT", "AFTER_COMMIT"})
  void aCommitThatThrewIsNeitherLostNorWrittenTwice(Fault fault) throws Exception {
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    try (JournalStore store = Stores.open(data, faulty)) {
      store.start(heard);
      append(store, written);
      heard.awaitDurable(written.size());
      faulty.next(fault);
      append(store, written);
      heard.awaitRecoveries(1);
      heard.awaitDurable(written.size());
      append(store, written);
      heard.awaitDurable(written.size());
    }
    assertThat(faulty.struck()).isEqualTo(1);
    assertThat(heard.failures()).isEqualTo(1);
    assertThat(heard.said().get(0)).contains("disk I/O error (injected)");
    assertStored(written);
  }

  @Test
  void aFailureIsSaidOnceHoweverLongItLasts() throws Exception {
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    try (JournalStore store = Stores.open(data, faulty)) {
      store.start(heard);
      append(store, written);
      heard.awaitDurable(written.size());
      faulty.next(Fault.BEFORE_COMMIT, Fault.OPEN, Fault.OPEN, Fault.AFTER_COMMIT, Fault.OPEN);
      append(store, written);
      heard.awaitFailures(1);
      assertThat(store.stats().writable()).isFalse();
      append(store, written);
      heard.awaitRecoveries(1);
      heard.awaitDurable(written.size());
      assertThat(store.stats().writable()).isTrue();
    }
    assertThat(heard.failures()).isEqualTo(1);
    assertThat(faulty.struck()).isGreaterThanOrEqualTo(5);
    assertStored(written);
  }

  @Test
  void anyRowOfFailuresLosesAndDoublesNothing() throws Exception {
    long seed = System.nanoTime();
    System.err.println("anyRowOfFailuresLosesAndDoublesNothing: seed " + seed);
    Random random = new Random(seed);
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    try (JournalStore store = Stores.open(data, faulty)) {
      store.start(heard);
      Outbox outbox = store.outbox();
      append(store, written);
      heard.awaitDurable(written.size());
      long acknowledged = 0;
      for (int i = 0; i < 60; i++) {
        faulty.next(FAULTS.get(random.nextInt(FAULTS.size())));
        if (random.nextInt(3) == 0) {
          faulty.next(Fault.OPEN);
        }
        append(store, written);
        for (Entry row : outbox.next(acknowledged, 1 + random.nextInt(3))) {
          outbox.acknowledged(row.seq());
          acknowledged = row.seq();
        }
        if (random.nextBoolean()) {
          heard.awaitDurable(written.size());
        }
      }
      heard.awaitDurable(written.size());
      long last = acknowledged;
      long left = written.stream().filter(e -> e.topic().isPresent() && e.seq() > last).count();
      Stores.await("the outbox is settled", () -> outbox.waiting() == left);
    }
    assertThat(heard.failures()).isPositive().isEqualTo(heard.recoveries());
    assertStored(written);
  }

  @Test
  void anotherWritersEntryIsAForkAndIsNotOverwritten() throws Exception {
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    String id;
    try (JournalStore store = Stores.open(data, faulty)) {
      id = store.opened().id();
      store.start(heard);
      append(store, written);
      heard.awaitDurable(written.size());
      faulty.next(Fault.BEFORE_COMMIT, Fault.OPEN, Fault.OPEN, Fault.OPEN);
      Entry ours = ledger.entry(written.size() + 1, "reading-taken", Optional.empty());
      plantWhenFailed(store, ours);
      heard.awaitFailures(2);
    }
    assertThat(heard.recoveries()).isZero();
    assertThat(heard.said().get(1)).contains("journal forked").contains("not the one that was");
    assertThat(Verify.dataFolder(data).lastSeq()).isEqualTo(written.size() + 1);

    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().id()).isNotEqualTo(id);
      assertThat(store.opened().setAside().orElseThrow().why()).contains("journal forked");
      assertThat(store.opened().cleanStop()).isFalse();
      Path away = store.opened().setAside().orElseThrow().folder();
      assertThat(Verify.journalFolder(away).journalId()).isEqualTo(id);
    }
  }

  @Test
  void aFileThatLostSyncedEntriesIsAFork() throws Exception {
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    try (JournalStore store = Stores.open(data, faulty)) {
      store.start(heard);
      append(store, written);
      heard.awaitDurable(written.size());
      faulty.next(Fault.BEFORE_COMMIT, Fault.OPEN, Fault.OPEN, Fault.OPEN);
      append(store, written);
      heard.awaitFailures(1);
      change("DELETE FROM journal WHERE seq=(SELECT max(seq) FROM journal)");
      heard.awaitFailures(2);
    }
    assertThat(heard.said().get(1)).contains("journal forked").contains("were synced");
  }

  @Test
  void aStopWhileTheDiskFailsEndsAndIsNoCleanStop() throws Exception {
    FaultyConnector faulty = new FaultyConnector(new JournalFolder(data).connector());
    List<Entry> written = new ArrayList<>();
    Pace quick = Stores.QUICK;
    Pace shortStop =
        new Pace(
            quick.batchEntries(),
            quick.commitEvery(),
            quick.acknowledgeWithin(),
            quick.idleAfter(),
            quick.backOffMin(),
            Duration.ofSeconds(10),
            Duration.ofMillis(200),
            quick.freeBytes());
    long promised;
    try (JournalStore store = Stores.open(data, faulty, new PendingWork(20_000, shortStop))) {
      store.start(heard);
      append(store, written);
      heard.awaitDurable(written.size());
      promised = heard.durable();
      faulty.next(Fault.BEFORE_COMMIT);
      faulty.next(Collections.nCopies(10_000, Fault.OPEN).toArray(new Fault[0]));
      append(store, written);
      heard.awaitFailures(1);
    }
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().cleanStop()).isFalse();
      assertThat(store.opened().lastSeq()).isEqualTo(promised).isLessThan(written.size());
    }
  }

  /** The back-off of the test is long enough for one insert of another writer. */
  private void plantWhenFailed(JournalStore store, Entry ours) throws Exception {
    store.append(List.of(ours));
    heard.awaitFailures(1);
    change(
        "INSERT INTO journal(seq, cause, at, kind, topic, prev, rules, body, hash) SELECT "
            + ours.seq()
            + ", cause, at, kind, topic, prev, rules, body, hash FROM journal WHERE seq=1");
  }

  private void change(String sql) throws SQLException {
    try (Connection connection = new JournalFolder(data).connector().writer();
        Statement statement = connection.createStatement()) {
      statement.executeUpdate(sql);
      connection.commit();
    }
  }

  private void append(JournalStore store, List<Entry> written) {
    List<Entry> event = ledger.event();
    written.addAll(event);
    store.append(event);
  }

  private void assertStored(List<Entry> written) throws JournalException {
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(Stores.all(reader)).isEqualTo(written);
    }
    assertThat(Verify.dataFolder(data).first()).isEmpty();
  }
}

package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JournalStoreTest {
  @TempDir Path data;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(1, 350);

  @Test
  void whatIsAppendedIsReadBackAfterARestart() throws Exception {
    List<Entry> written = new ArrayList<>();
    String id;
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().fresh()).isTrue();
      assertThat(store.opened().lastSeq()).isZero();
      id = store.opened().id();
      store.start(heard);
      for (int i = 0; i < 700; i++) {
        List<Entry> event = ledger.event();
        written.addAll(event);
        store.append(event);
      }
      heard.awaitDurable(written.size());
    }
    try (JournalStore store = Stores.open(data);
        JournalReader reader = store.reader()) {
      assertThat(store.opened())
          .isEqualTo(
              new JournalOpened(
                  id,
                  written.size(),
                  false,
                  true,
                  Optional.empty(),
                  Optional.empty(),
                  JournalIds.always(id)));
      assertThat(reader.journalId()).isEqualTo(id);
      assertThat(Stores.all(reader)).isEqualTo(written);
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.whole()).isTrue();
    assertThat(report.entries()).isEqualTo(written.size());
  }

  @Test
  void theLastSeqOfEachTopicIsKnownAfterARestart() throws Exception {
    List<Entry> written = ledger.events(300);
    write(written);
    Map<String, Long> expected = new java.util.HashMap<>();
    written.forEach(e -> e.topic().ifPresent(t -> expected.put(t, e.seq())));
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(reader.lastSeqPerTopic()).isEqualTo(expected);
    }
  }

  @Test
  void aRunThatWasNotClosedIsNoCleanStop() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(ledger.event());
      heard.awaitDurable(2);
      copyFolder(data.resolve("journal"), data.resolve("copy").resolve("journal"));
    }
    try (JournalStore store = Stores.open(data.resolve("copy"))) {
      assertThat(store.opened().cleanStop()).isFalse();
      assertThat(store.opened().lastSeq()).isGreaterThanOrEqualTo(2);
    }
  }

  @Test
  void aStartWithoutAnyEntryUsesTheCleanStopUp() throws Exception {
    write(ledger.events(3));
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().cleanStop()).isTrue();
      store.start(new Heard());
      Stores.await("the scribe has begun", () -> store.stats().writable());
      copyFolder(data.resolve("journal"), data.resolve("copy").resolve("journal"));
    }
    try (JournalStore store = Stores.open(data.resolve("copy"))) {
      assertThat(store.opened().cleanStop()).isFalse();
    }
  }

  @Test
  void aTextPutBeforeTheEntryThatNamesItIsKeptAndNeverReplaced() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.putText("rules-4f1c", "features: []");
      store.append(ledger.event());
      store.putText("rules-4f1c", "something else");
      store.append(ledger.event());
      heard.awaitDurable(4);
      try (JournalReader reader = store.reader()) {
        assertThat(reader.text("rules-4f1c")).contains("features: []");
        assertThat(reader.text("rules-0000")).isEmpty();
      }
    }
  }

  @Test
  void theLastTwoSnapshotsAreKept() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      assertThatThrownBy(() -> store.putSnapshot(1, 0, "a", () -> "{}"))
          .isInstanceOf(IllegalArgumentException.class);
      for (int i = 0; i < 5; i++) {
        List<Entry> event = ledger.event();
        store.append(event);
        long seq = event.get(event.size() - 1).seq();
        store.putSnapshot(seq, 0, "a", () -> "{\"after\":" + seq + "}");
      }
      List<Entry> end = ledger.event();
      store.append(end);
      heard.awaitDurable(end.get(end.size() - 1).seq());
      try (JournalReader reader = store.reader()) {
        long last = end.get(0).seq() - 1;
        assertThat(reader.snapshots())
            .hasSize(2)
            .startsWith(new Snapshot(last, "a", "{\"after\":" + last + "}"));
      }
    }
    assertThat(number("SELECT count(*) FROM snapshot")).isEqualTo(2);
  }

  @Test
  void aDamagedSnapshotGivesWayToTheOneBefore() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(ledger.events(2));
      store.putSnapshot(1, 0, "a", () -> "one");
      store.putSnapshot(2, 0, "a", () -> "two");
    }
    execute("UPDATE snapshot SET body='twp' WHERE seq=2");
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(reader.snapshots()).containsExactly(new Snapshot(1, "a", "one"));
    }
  }

  @Test
  void aSnapshotOfAnotherJournalIsPassedOver() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(ledger.events(2));
      store.putSnapshot(1, 0, "a", () -> "one");
      store.putSnapshot(2, 0, "a", () -> "two");
    }
    execute("UPDATE snapshot SET chain=(SELECT hash FROM journal WHERE seq=1) WHERE seq=2");
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(reader.snapshots()).containsExactly(new Snapshot(1, "a", "one"));
    }
  }

  @Test
  void aSnapshotThatCannotBeWrittenCostsNoEntry() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(ledger.events(2));
      store.putSnapshot(
          2,
          0,
          "a",
          () -> {
            throw new IllegalStateException("a mistake of ours");
          });
      List<Entry> more = ledger.event();
      store.append(more);
      heard.awaitDurable(more.get(more.size() - 1).seq());
    }
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(reader.snapshots()).isEmpty();
    }
  }

  @Test
  void anEntryOutOfOrderIsRefusedBeforeAnythingIsTaken() throws Exception {
    try (JournalStore store = Stores.open(data)) {
      List<Entry> first = ledger.event();
      List<Entry> second = ledger.event();
      assertThatThrownBy(() -> store.append(second))
          .isInstanceOf(IllegalArgumentException.class)
          .hasMessageContaining("expected entry 1, found " + second.get(0).seq());
      store.append(first);
      store.append(second);
    }
  }

  @Test
  void theLimitStopsReadingsAndTheReserveStopsEverything() throws Exception {
    PendingWork work = new PendingWork(10, Stores.QUICK);
    try (JournalStore store = Stores.open(data, new JournalFolder(data).connector(), work)) {
      long taken = 0;
      while (store.hasRoom()) {
        taken += append(store);
      }
      assertThat(taken).isBetween(10L, 12L);
      while (store.hasReserve()) {
        taken += append(store);
      }
      assertThat(taken).isGreaterThanOrEqualTo(10 + PendingWork.RESERVE_ENTRIES);
      assertThatThrownBy(() -> append(store)).isInstanceOf(IllegalStateException.class);
      store.start(heard);
      heard.awaitDurable(taken);
      assertThat(store.hasRoom()).isTrue();
      assertThat(store.stats().queuedEntries()).isZero();
    }
  }

  @Test
  void onlyTheOwnerMayReadTheFiles() throws Exception {
    Path inner = data.resolve("data");
    try (JournalStore store = Stores.open(inner)) {
      store.start(heard);
      store.append(ledger.event());
      heard.awaitDurable(2);
      assertThat(rights(inner)).isEqualTo("rwx------");
      assertThat(rights(inner.resolve("journal"))).isEqualTo("rwx------");
      assertThat(rights(inner.resolve("journal/journal.db"))).isEqualTo("rw-------");
      assertThat(rights(inner.resolve("journal/journal.db-wal"))).isEqualTo("rw-------");
    }
  }

  @Test
  void aJournalFromALaterVersionIsRefusedAndLeftUntouched() throws Exception {
    write(ledger.events(3));
    execute("PRAGMA user_version=" + (Schema.VERSION + 1));
    execute("PRAGMA application_id=" + (Schema.APPLICATION_ID + Schema.VERSION + 1));
    byte[] before = Files.readAllBytes(data.resolve("journal/journal.db"));
    assertThatThrownBy(() -> Stores.open(data))
        .isInstanceOf(JournalException.class)
        .hasMessageContaining("later version")
        .hasMessageContaining(data.toString());
    assertThat(Files.readAllBytes(data.resolve("journal/journal.db"))).isEqualTo(before);
  }

  @Test
  void anUnfinishedJournalOfACrashedFirstStartIsMadeAnew() throws Exception {
    Files.createDirectories(data.resolve("journal.new"));
    Files.writeString(data.resolve("journal.new/journal.db"), "half");
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().fresh()).isTrue();
      assertThat(store.opened().setAside()).isEmpty();
    }
  }

  @Test
  void aQuietTimeEmptiesTheLog() throws Exception {
    try (JournalStore store = Stores.open(data, new JournalFolder(data).connector())) {
      store.start(heard);
      List<Entry> entries = ledger.events(200);
      store.append(entries);
      heard.awaitDurable(entries.size());
      Path log = data.resolve("journal/journal.db-wal");
      Stores.await("the log is empty", () -> log.toFile().length() == 0);
    }
  }

  @Test
  void theLogStaysBoundedWhileReadersComeAndGo() throws Exception {
    Path log = data.resolve("journal/journal.db-wal");
    long largest = 0;
    try (JournalStore store = Stores.open(data);
        JournalReader reader = store.reader()) {
      store.start(heard);
      for (int i = 0; i < 200; i++) {
        List<Entry> entries = ledger.events(50);
        store.append(entries);
        heard.awaitDurable(entries.get(entries.size() - 1).seq());
        assertThat(reader.read(1, 10)).hasSize(10);
        largest = Math.max(largest, Files.size(log));
      }
    }
    // SQLite moves the log into the file at 1000 pages of 4 KiB; one batch may come on top.
    assertThat(largest).isBetween(1L << 20, 8L << 20);
  }

  @Test
  void commitEveryLetsEntriesWaitForOthers() throws Exception {
    Pace slow = Pace.every(Duration.ofMillis(300));
    try (JournalStore store =
        Stores.open(data, new JournalFolder(data).connector(), new PendingWork(20_000, slow))) {
      store.start(heard);
      Stores.await("the scribe has begun", () -> store.stats().writable());
      long last = 0;
      for (int i = 0; i < 50; i++) {
        last += append(store);
      }
      heard.awaitDurable(last);
      assertThat(store.stats().commits()).isLessThanOrEqualTo(3);
    }
  }

  private long append(JournalStore store) {
    List<Entry> event = ledger.event();
    store.append(event);
    return event.size();
  }

  private void write(List<Entry> entries) throws Exception {
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(entries);
      heard.awaitDurable(entries.size());
    }
  }

  private long number(String query) throws SQLException {
    try (Connection connection = new JournalFolder(data).connector().reader();
        Statement statement = connection.createStatement();
        java.sql.ResultSet row = statement.executeQuery(query)) {
      return row.next() ? row.getLong(1) : -1;
    }
  }

  private void execute(String change) throws SQLException {
    try (Connection connection = new JournalFolder(data).connector().writer();
        Statement statement = connection.createStatement()) {
      statement.executeUpdate(change);
      connection.commit();
    }
  }

  private static String rights(Path path) throws Exception {
    return PosixFilePermissions.toString(Files.getPosixFilePermissions(path));
  }

  /** What a crash would leave; other files than SQLite's own are not locked. */
  private static void copyFolder(Path from, Path to) throws Exception {
    Files.createDirectories(to);
    Process copy = new ProcessBuilder("cp", "-r", from + "/.", to.toString()).inheritIO().start();
    assertThat(copy.waitFor()).isZero();
  }
}

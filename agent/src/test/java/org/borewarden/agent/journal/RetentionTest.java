package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is retired, what never is, and that the chain of the rest still holds. */
class RetentionTest {
  private static final int EVENTS = 1_500;
  private static final int BEHIND = 50;
  private static final Duration DAY = Duration.ofDays(1);
  private static final long NO_LIMIT = Long.MAX_VALUE;
  private static final long SMALL = 256 << 10;

  @TempDir Path data;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(5, 350);
  private final List<Entry> written = ledger.events(EVENTS);
  private final long end = written.get(written.size() - 1).seq();
  private final AtomicReference<Instant> now = new AtomicReference<>(Stores.NOW.plus(DAY));

  @Test
  void oldEntriesGoAndLeaveAnAnchorOnWhichTheRestHangs() throws Exception {
    try (JournalStore store = open(old(false))) {
      write(store, 2_000, 0);
      acknowledge(store, Long.MAX_VALUE);
      awaitFirst(store, 2_000 - BEHIND);
      Stores.await("it is noted", () -> !heard.notes().isEmpty());
      assertThat(heard.notes())
          .singleElement()
          .satisfies(note -> assertThat(note.what()).isEqualTo("retired"))
          .satisfies(note -> assertThat(note.first()).isEqualTo(1))
          .satisfies(note -> assertThat(note.last()).isEqualTo(2_000 - BEHIND - 1))
          .satisfies(note -> assertThat(note.count()).isEqualTo(2_000 - BEHIND - 1));
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first()).isEmpty();
    assertThat(report.entries()).isEqualTo(end - (2_000 - BEHIND - 1));
    try (JournalStore store = open(old(false));
        JournalReader reader = store.reader()) {
      store.start(heard);
      assertThat(store.opened().lastSeq()).isEqualTo(end);
      List<Entry> more = ledger.event();
      store.append(more);
      heard.awaitDurable(more.get(more.size() - 1).seq());
      assertThat(reader.snapshots()).extracting(Snapshot::seq).containsExactly(2_400L, 2_000L);
      assertThat(reader.read(1, 1)).isEqualTo(written.subList(1_949, 1_950));
    }
    assertThat(Verify.dataFolder(data).whole()).isTrue();
  }

  @Test
  void anAlteredEntryIsFoundBehindAnAnchorToo() throws Exception {
    oldEntriesGoAndLeaveAnAnchorOnWhichTheRestHangs();
    try (Connection connection = new JournalFolder(data).connector().writer();
        java.sql.Statement statement = connection.createStatement()) {
      statement.executeUpdate("UPDATE journal SET body='{}' WHERE seq=1950");
      connection.commit();
    }
    assertThat(Verify.dataFolder(data).first().orElseThrow().seq()).isEqualTo(1_950);
  }

  /** Its seq has no hash of its own: the first entry that is kept must be the one behind it. */
  @ParameterizedTest
  @ValueSource(longs = {1, 64, 256, 512, 4_096, 1L << 40})
  void anAnchorWithAFlippedBitIsFoundAndSalvageTakesAllThatIsKept(long bit) throws Exception {
    oldEntriesGoAndLeaveAnAnchorOnWhichTheRestHangs();
    long kept = Verify.dataFolder(data).entries();
    change("UPDATE anchor SET seq=(seq|" + bit + ")-(seq&" + bit + ")");
    assertThat(OpenCheck.look(new JournalFolder(data).connector()))
        .isInstanceOf(OpenCheck.Damaged.class);
    assertThat(Verify.dataFolder(data).whole()).isFalse();
    SalvageReport report = Salvage.copy(data.resolve("journal"), data.resolve("copy"));
    assertThat(report.copied()).isEqualTo(kept);
    assertThat(report.unproven()).isZero();
    assertThat(report.lost()).isEmpty();
    assertThat(Verify.journalFolder(data.resolve("copy")).whole()).isTrue();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "UPDATE meta SET value=replace(value, '-', '+') WHERE name='id'",
        "INSERT INTO era(first, id, at, why, hash) VALUES(1960, 'another', 0, 'copied', x'00')"
      })
  void anIdThatIsNotTheOneThatWasGivenIsFound(String change) throws Exception {
    oldEntriesGoAndLeaveAnAnchorOnWhichTheRestHangs();
    assertThat(OpenCheck.look(new JournalFolder(data).connector()))
        .isInstanceOf(OpenCheck.Sound.class);
    change(change);
    assertThat(OpenCheck.look(new JournalFolder(data).connector()))
        .isInstanceOf(OpenCheck.Damaged.class);
    assertThat(Verify.dataFolder(data).whole()).isFalse();
  }

  private void change(String statement) throws Exception {
    try (Connection connection = new JournalFolder(data).connector().writer();
        java.sql.Statement change = connection.createStatement()) {
      assertThat(change.executeUpdate(statement)).isPositive();
      connection.commit();
    }
  }

  @Test
  void whatTheBrokerHasNotAcknowledgedStays() throws Exception {
    try (JournalStore store = open(old(false))) {
      write(store, 2_000, 0);
      acknowledge(store, 700);
      awaitFirst(store, firstUnsent());
      assertThat(firstUnsent()).isBetween(700L, 705L);
    }
    assertThat(Verify.dataFolder(data).whole()).isTrue();
  }

  @Test
  void whatALatchedHoldNamesStaysAndWhatLedToIt() throws Exception {
    try (JournalStore store = open(old(false))) {
      write(store, 2_000, 900);
      acknowledge(store, Long.MAX_VALUE);
      awaitFirst(store, 900 - BEHIND);
    }
  }

  @Test
  void withoutASnapshotNothingGoes() throws Exception {
    try (JournalStore store = open(old(false))) {
      store.start(heard);
      store.append(written);
      heard.awaitDurable(end);
      acknowledge(store, Long.MAX_VALUE);
      Stores.await("the outbox is empty", () -> store.stats().outboxWaiting() == 0);
      more(store);
      more(store);
      assertThat(first(store)).isEqualTo(1);
    }
  }

  @Test
  void youngEntriesGoForTheSizeAndTheFileShrinks() throws Exception {
    Keep keep = new Keep(DAY.multipliedBy(99), SMALL, false, Duration.ofMillis(1), BEHIND);
    try (JournalStore store = open(keep)) {
      write(store, end - 200, 0);
      heard.awaitDurable(end);
      acknowledge(store, Long.MAX_VALUE);
      Stores.await(
          "the journal is within its size",
          () -> store.stats().bytes() > 0 && store.stats().bytes() <= SMALL);
      assertThat(first(store)).isBetween(2L, end - 200 - BEHIND);
    }
    try (JournalStore store = open(keep)) {
      store.start(heard);
    }
    assertThat(Files.size(data.resolve("journal/journal.db"))).isLessThan(SMALL + (64 << 10));
    assertThat(Verify.dataFolder(data).whole()).isTrue();
  }

  @Test
  void aFullOutboxIsToldAndNothingUnsentIsLeftOut() throws Exception {
    Keep keep = new Keep(DAY.multipliedBy(99), SMALL, false, Duration.ofMillis(1), BEHIND);
    try (JournalStore store = open(keep)) {
      write(store, end - 200, 0);
      Stores.await("it is told", () -> heard.full().isPresent());
      assertThat(heard.full().orElseThrow())
          .startsWith("what the broker has not acknowledged keeps the journal at ");
      assertThat(store.stats().outboxWaiting()).isEqualTo(published(written).size());
      assertThat(first(store)).isEqualTo(1);
      acknowledge(store, Long.MAX_VALUE);
      Stores.await("it is over", () -> heard.full().isEmpty());
      assertThat(heard.notes()).extracting(JournalNote::what).containsOnly("retired");
    }
  }

  @Test
  void whereItIsAllowedReadingsLeaveAFullOutboxAndJudgementsDoNot() throws Exception {
    Keep keep = new Keep(DAY.multipliedBy(99), SMALL, true, Duration.ofMillis(1), BEHIND);
    try (JournalStore store = open(keep)) {
      write(store, end - 200, 0);
      Stores.await(
          "readings are left out",
          () -> heard.notes().stream().anyMatch(note -> note.what().equals("left-unsent")));
      List<Entry> judgements =
          written.stream().filter(entry -> entry.kind().equals("bore-judged")).toList();
      Stores.await("all readings are", () -> store.stats().outboxWaiting() == judgements.size());
      assertThat(store.outbox().next(0, 1_000)).isEqualTo(judgements.subList(0, 1_000));
      assertThat(
              heard.notes().stream()
                  .filter(note -> note.what().equals("left-unsent"))
                  .mapToLong(JournalNote::count)
                  .sum())
          .isEqualTo(EVENTS);
    }
  }

  @Test
  void aClockThatJumpsForwardRetiresNothing() throws Exception {
    Keep keep = new Keep(DAY.multipliedBy(30), NO_LIMIT, false, Duration.ofMillis(1), BEHIND);
    try (JournalStore store = open(keep)) {
      write(store, 2_000, 0);
      acknowledge(store, Long.MAX_VALUE);
      Stores.await("the outbox is empty", () -> store.stats().outboxWaiting() == 0);
      now.set(Stores.NOW.plus(DAY.multipliedBy(4_000)));
      more(store);
      more(store);
      assertThat(first(store)).isEqualTo(1);
    }
    // The control: a start at that time takes the clock as it is.
    try (JournalStore store = open(keep)) {
      store.start(heard);
      awaitFirst(store, 2_000 - BEHIND);
    }
  }

  private static Keep old(boolean drop) {
    return new Keep(Duration.ofHours(1), NO_LIMIT, drop, Duration.ofMillis(1), BEHIND);
  }

  private JournalStore open(Keep keep) throws Exception {
    return JournalStore.open(
        data,
        new JournalFolder(data).connector(),
        new PendingWork(20_000, Stores.QUICK),
        keep,
        "0.1.0",
        () -> Objects.requireNonNull(now.get()),
        System::nanoTime);
  }

  /** All entries, with two snapshots of which the older one stands at a seq. */
  private void write(JournalStore store, long snapshot, long needed) throws Exception {
    store.start(heard);
    store.append(written.subList(0, (int) snapshot));
    store.putSnapshot(snapshot, needed, "a", () -> "one");
    store.append(written.subList((int) snapshot, written.size()));
    store.putSnapshot(Math.min(end, snapshot + 400), needed, "a", () -> "two");
    heard.awaitDurable(end);
  }

  private void more(JournalStore store) throws Exception {
    List<Entry> event = ledger.event();
    store.append(event);
    heard.awaitDurable(event.get(event.size() - 1).seq());
  }

  private void acknowledge(JournalStore store, long below) {
    Outbox outbox = store.outbox();
    published(written).stream()
        .map(Entry::seq)
        .filter(seq -> seq < below)
        .forEach(outbox::acknowledged);
  }

  private static List<Entry> published(List<Entry> entries) {
    return entries.stream().filter(entry -> entry.topic().isPresent()).toList();
  }

  private long firstUnsent() {
    return published(written).stream()
        .mapToLong(Entry::seq)
        .filter(seq -> seq >= 700)
        .min()
        .orElse(0);
  }

  private static long first(JournalStore store) throws Exception {
    try (JournalReader reader = store.reader()) {
      return reader.firstSeq();
    }
  }

  private static void awaitFirst(JournalStore store, long seq) throws Exception {
    try (JournalReader reader = store.reader()) {
      Stores.await(
          "the first entry is " + seq,
          () -> {
            try {
              return reader.firstSeq() == seq;
            } catch (JournalException e) {
              throw new AssertionError(e);
            }
          });
    }
  }
}

package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Copies: while the agent runs, put back, cloned, sent again; no seq is told twice under one id.
 */
class BackupTest {
  @TempDir Path folder;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(8, 350);

  @Test
  void aCopyMadeWhileEntriesAreWrittenIsWholeAndGoesBackUnderANewId() throws Exception {
    Path data = folder.resolve("data");
    Path copy = folder.resolve("copy");
    String id;
    List<Entry> written = new ArrayList<>();
    VerifyReport report;
    try (JournalStore store = Stores.open(data)) {
      id = store.opened().id();
      store.start(heard);
      written.addAll(append(store, 400));
      heard.awaitDurable(written.size());
      written.addAll(append(store, 2_000));
      report = Backup.copy(data.resolve("journal"), copy);
      heard.awaitDurable(written.size());
    }
    assertThat(report.whole()).isTrue();
    assertThat(report.entries()).isBetween(400L, (long) written.size());
    assertThatThrownBy(() -> Backup.copy(data.resolve("journal"), copy))
        .hasMessageEndingWith("is there already; it is not overwritten");

    Optional<Path> before = Backup.restore(data, copy, Stores.NOW);
    assertThat(Verify.journalFolder(before.orElseThrow()).lastSeq()).isEqualTo(written.size());
    try (JournalStore store = Stores.open(data);
        JournalReader reader = store.reader()) {
      assertThat(store.opened().toAdopt()).contains("it was restored from a back-up");
      assertThat(store.opened().id()).isNotEqualTo(id);
      assertThat(store.opened().lastSeq()).isEqualTo(report.lastSeq());
      JournalIds ids = store.opened().ids();
      assertThat(ids.of(1)).isEqualTo(id);
      assertThat(ids.of(report.lastSeq())).isEqualTo(id);
      assertThat(ids.of(report.lastSeq() + 1)).isEqualTo(store.opened().id());
      assertThat(Stores.all(reader)).isEqualTo(written.subList(0, (int) report.lastSeq()));
    }
    assertThat(Verify.dataFolder(data).whole()).isTrue();
  }

  @Test
  void aCopyThatIsNotWholeIsNotPutBack() throws Exception {
    Path data = folder.resolve("data");
    Path copy = folder.resolve("copy");
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      append(store, 50);
    }
    Backup.copy(data.resolve("journal"), copy);
    try (java.sql.Connection connection = JournalFolder.connector(copy).writer();
        java.sql.Statement statement = connection.createStatement()) {
      statement.executeUpdate("UPDATE journal SET at=at+1 WHERE seq=20");
      connection.commit();
    }
    assertThatThrownBy(() -> Backup.restore(data, copy, Stores.NOW))
        .isInstanceOf(JournalException.class)
        .hasMessageContaining("is not whole")
        .hasMessageEndingWith("nothing was changed");
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().toAdopt()).isEmpty();
    }
  }

  @Test
  void aClonedFolderIsNoticedAndAskedAboutUntilItIsAdopted() throws Exception {
    Path data = folder.resolve("data");
    Path clone = folder.resolve("clone");
    String id;
    try (JournalStore store = Stores.open(data)) {
      id = store.opened().id();
      store.start(heard);
      append(store, 20);
    }
    copyFolder(data, clone);
    String second;
    try (JournalStore store = Stores.open(clone)) {
      assertThat(store.opened().toAdopt())
          .contains("it was copied, restored or moved, or the machine was cloned");
      second = store.opened().id();
      assertThat(second).isNotEqualTo(id);
    }
    try (JournalStore store = Stores.open(clone)) {
      assertThat(store.opened().toAdopt()).isPresent();
      assertThat(store.opened().id()).isEqualTo(second);
      store.start(new Heard());
      store.adopted();
    }
    try (JournalStore store = Stores.open(clone)) {
      assertThat(store.opened().toAdopt()).isEmpty();
      assertThat(store.opened().id()).isEqualTo(second);
    }
    // The control: the original lies where it lay.
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().toAdopt()).isEmpty();
      assertThat(store.opened().id()).isEqualTo(id);
    }
  }

  @Test
  void keptEntriesGoIntoTheOutboxAgainAndRefusedOnesDoNot() throws Exception {
    try (JournalStore store = Stores.open(folder.resolve("data"))) {
      store.start(heard);
      List<Entry> written = append(store, 40);
      heard.awaitDurable(written.size());
      List<Entry> published = written.stream().filter(e -> e.topic().isPresent()).toList();
      Outbox outbox = store.outbox();
      published.subList(1, published.size()).forEach(e -> outbox.acknowledged(e.seq()));
      outbox.setAside(published.get(0).seq(), "too large");
      Stores.await("all are answered", () -> store.stats().outboxWaiting() == 0);
      Stores.await("and settled", () -> empty(outbox));
      long before = outbox.rewinds();

      store.sendAgain(1, 20);
      List<Entry> expected =
          published.stream()
              .filter(e -> e.seq() <= 20 && e.seq() > published.get(0).seq())
              .toList();
      Stores.await("they wait", () -> store.stats().outboxWaiting() == expected.size());
      assertThat(outbox.rewinds()).isEqualTo(before + 1);
      assertThat(outbox.next(0, 1_000)).isEqualTo(expected);
      Entry first = published.get(0);
      assertThat(outbox.isNewestOnItsTopic(first)).isFalse();
      assertThat(outbox.isNewestOnItsTopic(published.get(published.size() - 1))).isTrue();
    }
  }

  private static boolean empty(Outbox outbox) {
    try {
      return outbox.next(0, 10).isEmpty();
    } catch (JournalException e) {
      throw new AssertionError(e);
    }
  }

  private List<Entry> append(JournalStore store, int events) {
    List<Entry> all = new ArrayList<>();
    for (int i = 0; i < events; i++) {
      List<Entry> event = ledger.event();
      store.append(event);
      all.addAll(event);
    }
    return all;
  }

  private static void copyFolder(Path from, Path to) throws IOException {
    try (Stream<Path> paths = Files.walk(from)) {
      for (Path path : paths.toList()) {
        Files.copy(path, to.resolve(from.relativize(path).toString()));
      }
    }
  }
}

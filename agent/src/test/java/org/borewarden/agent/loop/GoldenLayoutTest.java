package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.time.Instant;
import java.util.List;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.Snapshot;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.journal.VerifyReport;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.RuleSet;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A journal of layout 2 with its snapshot, as the version 0.1.0 left it, written by {@link
 * GoldenJournalWriter}: 78 entries, a latched hold, 53 rows not acknowledged, one refused. Every
 * later version has to read it; it is never written anew.
 */
class GoldenLayoutTest {
  private static final String ID = "01a219fc-cad6-72f7-b129-81a007ba1174";
  private static final int ENTRIES = 78;

  @TempDir Path data;

  private Path file;

  @BeforeEach
  void put() throws Exception {
    file = data.resolve("journal/journal.db");
    Files.createDirectory(data.resolve("journal"));
    try (InputStream golden =
        GoldenLayoutTest.class.getResourceAsStream("/org/borewarden/agent/journal/layout-2.db")) {
      Files.copy(golden, file);
    }
  }

  @Test
  void everyEntryIsReadAndTheChainHolds() throws Exception {
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.whole()).isTrue();
    assertThat(report.journalId()).isEqualTo(ID);
    assertThat(report.entries()).isEqualTo(ENTRIES);
    assertThat(report.outbox()).isEqualTo(53);
    assertThat(report.aside()).isEqualTo(1);
  }

  @Test
  void itsEventsGiveTheLatchedHoldByTodaysEngineWithItsSnapshotAndWithoutIt() throws Exception {
    try (JournalReader reader = JournalReader.open(data)) {
      List<Snapshot> snapshots = reader.snapshots();
      assertThat(snapshots).extracting(Snapshot::seq).containsExactly((long) ENTRIES);
      boolean ours = snapshots.get(0).layout().equals(Standing.LAYOUT);
      Replay.Replayed quick = Replay.fold(reader, revision -> kept(reader, revision));
      assertThat(quick.snapshotSeq()).isEqualTo(ours ? ENTRIES : 0);
      requireHeld(quick);
    }
    execute("DELETE FROM snapshot");
    try (JournalReader reader = JournalReader.open(data)) {
      Replay.Replayed slow = Replay.fold(reader, revision -> kept(reader, revision));
      assertThat(slow.snapshotSeq()).isZero();
      requireHeld(slow);
    }
  }

  /** It lies elsewhere now, so that it goes on under another id; what stands in it stays. */
  @Test
  void itIsGoneOnWithAndKeepsItsEntries() throws Exception {
    try (JournalStore store = open()) {
      assertThat(store.opened().setAside()).isEmpty();
      assertThat(store.opened().lastSeq()).isEqualTo(ENTRIES);
      assertThat(store.opened().toAdopt()).isPresent();
      assertThat(store.opened().id()).isNotEqualTo(ID);
      assertThat(store.opened().ids().of(ENTRIES)).isEqualTo(ID);
    }
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.whole()).isTrue();
    assertThat(report.entries()).isEqualTo(ENTRIES);
  }

  /** The control: were an entry altered, it would not pass. */
  @Test
  void anAlteredEntryOfItIsFound() throws Exception {
    execute("UPDATE journal SET body=replace(body, '62.031', '62.013')");
    assertThat(Verify.dataFolder(data).whole()).isFalse();
  }

  @Test
  void theSameOfALayoutToComeIsRefusedAndNotTouched() throws Exception {
    execute("PRAGMA user_version=3");
    execute("PRAGMA application_id=" + (0x4257_0000 + 3));
    byte[] before = Files.readAllBytes(file);
    assertThatThrownBy(this::open)
        .isInstanceOf(JournalException.class)
        .hasMessageContaining("later version");
    assertThat(Files.readAllBytes(file)).isEqualTo(before);
  }

  private static void requireHeld(Replay.Replayed replayed) {
    assertThat(replayed.lastSeq()).isEqualTo(ENTRIES);
    assertThat(replayed.clean()).isTrue();
    HoldView hold = replayed.state().cellView("cell-4", Instant.EPOCH).orElseThrow().hold();
    assertThat(hold.phase()).isEqualTo(Phase.REQUESTED);
    assertThat(hold.causes()).extracting(cause -> cause.reason()).contains(Reason.OVERSIZE);
  }

  private void execute(String sql) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  /** The rules as the journal itself keeps their text. */
  private static RuleSet kept(JournalReader reader, String revision) {
    try {
      return Shift.read(reader.text("rules/" + revision).orElseThrow());
    } catch (JournalException e) {
      throw new AssertionError(e);
    }
  }

  private JournalStore open() throws JournalException {
    return JournalStore.open(
        data,
        JournalConfig.DEFAULT,
        "0.1.0",
        () -> Instant.parse("2026-05-05T10:00:00Z"),
        System::nanoTime);
  }
}

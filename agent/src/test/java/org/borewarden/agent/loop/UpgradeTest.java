package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalStore;
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
 * A journal as layout 1 left it, written by {@link GoldenJournalWriter} before the layout changed:
 * 77 entries, a latched hold, 53 rows not acknowledged and one refused.
 */
class UpgradeTest {
  private static final String ID = "01a21876-ecc6-77fc-a8c5-48e381c29ee8";
  private static final int ENTRIES = 77;

  @TempDir Path data;

  @BeforeEach
  void put() throws Exception {
    Files.createDirectory(data.resolve("journal"));
    try (InputStream golden =
        UpgradeTest.class.getResourceAsStream("/org/borewarden/agent/journal/layout-1.db")) {
      Files.copy(golden, data.resolve("journal/journal.db"));
    }
  }

  @Test
  void theJournalOfLayout1IsReadAsItIs() throws Exception {
    asWritten();
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(reader.snapshots()).isEmpty();
      assertThat(reader.firstSeq()).isEqualTo(1);
    }
  }

  @Test
  void itIsBroughtToThisLayoutWithEveryEntryAndItsLatchedHold() throws Exception {
    try (JournalStore store = open();
        JournalReader reader = store.reader()) {
      assertThat(store.opened().id()).isEqualTo(ID);
      assertThat(store.opened().lastSeq()).isEqualTo(ENTRIES);
      assertThat(store.opened().cleanStop()).isTrue();
      Replay.Replayed replayed = Replay.fold(reader, revision -> kept(reader, revision));
      assertThat(replayed.clean()).isTrue();
      HoldView hold = replayed.state().cellView("cell-4", Instant.EPOCH).orElseThrow().hold();
      assertThat(hold.phase()).isEqualTo(Phase.REQUESTED);
      assertThat(hold.causes()).extracting(cause -> cause.reason()).contains(Reason.OVERSIZE);
    }
    asWritten();
    // And once more: the second start finds the new layout.
    try (JournalStore store = open()) {
      assertThat(store.opened().lastSeq()).isEqualTo(ENTRIES);
      assertThat(store.opened().setAside()).isEmpty();
    }
  }

  private void asWritten() throws Exception {
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.whole()).isTrue();
    assertThat(report.journalId()).isEqualTo(ID);
    assertThat(report.entries()).isEqualTo(ENTRIES);
    assertThat(report.outbox()).isEqualTo(53);
    assertThat(report.aside()).isEqualTo(1);
    try (JournalReader reader = JournalReader.open(data)) {
      assertThat(List.of("b48689d48c15", "b57ab8140851"))
          .allSatisfy(revision -> assertThat(reader.text("rules/" + revision)).isPresent());
      assertThat(List.copyOf(reader.lastSeqPerTopic().keySet())).contains("reading/bore-1");
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

  private JournalStore open() throws Exception {
    return JournalStore.open(
        data,
        JournalConfig.DEFAULT,
        "0.1.0",
        () -> Instant.parse("2026-05-05T10:00:00Z"),
        System::nanoTime);
  }
}

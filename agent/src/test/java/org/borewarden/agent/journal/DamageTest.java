package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.Statement;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DamageTest {
  private static final int BITS_TRIED = Cases.count(200, 5_000);
  private static final int CUTS_TRIED = Cases.count(50, 1_000);

  /** The head of every SQLite file. */
  private static final int HEAD_BYTES = 100;

  @TempDir Path data;

  private final Ledger ledger = new Ledger(4, 350);
  private List<Entry> written = List.of();
  private Path file;
  private byte[] sound = new byte[0];

  @BeforeEach
  void write() throws Exception {
    file = data.resolve("journal/journal.db");
    Heard heard = new Heard();
    written = ledger.events(200);
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.append(written);
      heard.awaitDurable(written.size());
    }
    sound = Files.readAllBytes(file);
  }

  @Test
  void aFlippedBitInAnyRecordIsFoundAndCountsOneBrokenLink() throws Exception {
    long seed = System.nanoTime();
    System.err.println("aFlippedBitInAnyRecordIsFound: seed " + seed);
    Random random = new Random(seed);
    for (int i = 0; i < BITS_TRIED; i++) {
      Entry entry = written.get(random.nextInt(written.size()));
      int at = random.nextInt(entry.body().length());
      flipInBody(entry, at, 1 << random.nextInt(7));
      VerifyReport report = Verify.dataFolder(data);
      assertThat(report.brokenLinks()).as("byte %s of entry %s", at, entry.seq()).isEqualTo(1);
      assertThat(report.first().orElseThrow().seq()).isEqualTo(entry.seq());
      Files.write(file, sound);
    }
    System.err.printf("damage: %d bits of records flipped, each found and none else%n", BITS_TRIED);
    assertThat(Verify.dataFolder(data).whole()).isTrue();
  }

  @Test
  void aBitFlippedAnywhereNeverGivesAnotherJournalForASoundOne() throws Exception {
    long seed = System.nanoTime();
    System.err.println("aBitFlippedAnywhere: seed " + seed);
    Random random = new Random(seed);
    int noticed = 0;
    for (int i = 0; i < BITS_TRIED; i++) {
      int at = random.nextInt(sound.length);
      flip(at, 1 << random.nextInt(8));
      if (isTakenForSound()) {
        // Free space and hints in the file's head may change without meaning: all entries stand.
        try (JournalReader reader = JournalReader.open(data)) {
          assertThat(Stores.all(reader)).as("byte %s", at).isEqualTo(written);
        }
      } else {
        noticed++;
      }
      Files.write(file, sound);
    }
    System.err.printf(
        "damage: %d bits anywhere flipped, %d noticed, the others without meaning%n",
        BITS_TRIED, noticed);
    assertThat(noticed).isGreaterThan(BITS_TRIED / 2);
  }

  @Test
  void noBitOfTheFilesHeadMakesTheStartGiveUp() throws Exception {
    int noticed = 0;
    for (int bit = 0; bit < HEAD_BYTES * 8; bit++) {
      flip(bit / 8, 1 << (bit % 8));
      if (isTakenForSound()) {
        try (JournalReader reader = JournalReader.open(data)) {
          assertThat(reader.lastSeq()).as("bit %s", bit).isEqualTo(written.size());
        }
      } else {
        noticed++;
      }
    }
    assertThat(noticed).isPositive();
  }

  @Test
  void aFileCutAnywhereIsNotTakenForSound() throws Exception {
    long seed = System.nanoTime();
    System.err.println("aFileCutAnywhere: seed " + seed);
    Random random = new Random(seed);
    for (int i = 0; i < CUTS_TRIED; i++) {
      int length = i == 0 ? 0 : random.nextInt(sound.length);
      try (RandomAccessFile cut = new RandomAccessFile(file.toFile(), "rw")) {
        cut.setLength(length);
      }
      assertThat(isTakenForSound()).as("cut to %s bytes", length).isFalse();
      Files.write(file, sound);
    }
  }

  @Test
  void aDamagedJournalIsPutAwayWholeAndANewOneBegins() throws Exception {
    String id = Verify.dataFolder(data).journalId();
    flipInBody(written.get(7), 20, 1);
    byte[] damaged = Files.readAllBytes(file);
    Path away;
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().fresh()).isTrue();
      assertThat(store.opened().cleanStop()).isFalse();
      assertThat(store.opened().lastSeq()).isZero();
      assertThat(store.opened().id()).isNotEqualTo(id);
      JournalOpened.SetAside setAside = store.opened().setAside().orElseThrow();
      assertThat(setAside.why()).contains("broken at 8");
      away = setAside.folder();
      assertThat(away.getFileName()).hasToString("journal.damaged-20260302T060000Z");
    }
    assertThat(Files.readAllBytes(away.resolve("journal.db"))).isEqualTo(damaged);
    assertThat(Verify.journalFolder(away).brokenLinks()).isEqualTo(1);
  }

  @Test
  void whatWasPutAwayBeforeIsNeverOverwritten() throws Exception {
    for (int i = 0; i < 3; i++) {
      Files.write(file, new byte[8192]);
      try (JournalStore store = Stores.open(data)) {
        assertThat(store.opened().setAside()).isPresent();
      }
    }
    assertThat(data.resolve("journal.damaged-20260302T060000Z")).isDirectory();
    assertThat(data.resolve("journal.damaged-20260302T060000Z-2")).isDirectory();
    assertThat(data.resolve("journal.damaged-20260302T060000Z-3")).isDirectory();
  }

  @Test
  void aMissingEntryIsTheFirstBrokenLink() throws Exception {
    change("DELETE FROM journal WHERE seq=40");
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first()).contains(new VerifyReport.Broken(41, "expected entry 40, found 41"));
    assertThat(report.entries()).isEqualTo(written.size() - 1);
  }

  @Test
  void anEntryTakenFromAnotherPlaceIsFound() throws Exception {
    change(
        "UPDATE journal SET body=(SELECT body FROM journal WHERE seq=11),"
            + " hash=(SELECT hash FROM journal WHERE seq=11) WHERE seq=40");
    VerifyReport report = Verify.dataFolder(data);
    assertThat(report.first().orElseThrow().seq()).isEqualTo(40);
    assertThat(report.brokenLinks()).isEqualTo(2);
  }

  @Test
  void aChainOfAnotherJournalDoesNotFit() throws Exception {
    change("UPDATE meta SET value='0190a2f4-0000-7000-8000-000000000000' WHERE name='id'");
    assertThat(Verify.dataFolder(data).first().orElseThrow().seq()).isEqualTo(1);
  }

  /** Without its primary key the journal would be empty to whoever asks by seq. */
  @Test
  void aTableThatIsAnotherByOneBitOfItsTextIsNotTakenForSound() throws Exception {
    byte[] text = "CREATE TABLE journal(seq INTEGER".getBytes(StandardCharsets.UTF_8);
    int at = find(text);
    for (int bit = 0; bit < text.length * 8; bit++) {
      flip(at + bit / 8, 1 << (bit % 8));
      assertThat(isTakenForSound()).as("bit %s of the table's text", bit).isFalse();
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "UPDATE topic SET last=last-1 WHERE last=(SELECT max(last) FROM topic)",
        "UPDATE topic SET last=last+64 WHERE last=(SELECT max(last) FROM topic)",
        "UPDATE topic SET last=(SELECT min(seq) FROM journal WHERE topic=topic.word)",
        "DELETE FROM topic WHERE last=(SELECT max(last) FROM topic)",
        "INSERT INTO outbox SELECT max(seq)+64 FROM outbox",
        "INSERT INTO outbox VALUES(0)",
        "UPDATE word SET text=CAST(text AS BLOB) WHERE id=1",
        "UPDATE outbox SET seq=(SELECT min(seq) FROM journal WHERE topic IS NULL)"
            + " WHERE seq=(SELECT max(seq) FROM outbox)"
      })
  void whatTheSmallTablesSayMustFitTheEntries(String damage) throws Exception {
    assertThat(isTakenForSound()).isTrue();
    change(damage);
    assertThat(isTakenForSound()).isFalse();
  }

  @Test
  void aFolderWithoutAJournalCannotBeVerified() {
    assertThatThrownBy(() -> Verify.dataFolder(data.resolve("elsewhere")))
        .isInstanceOf(JournalException.class)
        .hasMessageContaining("elsewhere");
  }

  private boolean isTakenForSound() throws Exception {
    return OpenCheck.look(new JournalFolder(data).connector()) instanceof OpenCheck.Sound;
  }

  private void flip(int at, int bit) throws Exception {
    byte[] bytes = sound.clone();
    bytes[at] ^= (byte) bit;
    Files.write(file, bytes);
  }

  private int find(byte[] what) {
    for (int at = 0; ; at++) {
      if (Arrays.equals(sound, at, at + what.length, what, 0, what.length)) {
        return at;
      }
    }
  }

  private void change(String sql) throws Exception {
    try (Connection connection = new JournalFolder(data).connector().writer();
        Statement statement = connection.createStatement()) {
      statement.executeUpdate(sql);
      connection.commit();
    }
  }

  /** In the file's free space there may be old copies of a row; they get the flip as well. */
  private void flipInBody(Entry entry, int at, int bit) throws Exception {
    byte[] body = entry.body().getBytes(StandardCharsets.UTF_8);
    byte[] bytes = sound.clone();
    int copies = 0;
    for (int i = 0; i <= sound.length - body.length; i++) {
      if (Arrays.equals(sound, i, i + body.length, body, 0, body.length)) {
        bytes[i + at] ^= (byte) bit;
        copies++;
      }
    }
    assertThat(copies).isPositive();
    Files.write(file, bytes);
  }
}

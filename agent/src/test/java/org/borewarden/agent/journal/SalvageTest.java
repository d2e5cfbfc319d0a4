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
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What can be read of a damaged journal is copied, and what is lost is counted to the entry. */
class SalvageTest {
  private static final int PAGE = 4096;

  /** A journal's tables begin in its first thirteen pages. */
  private static final int ROOTS_BUT_ONE = 12;

  @TempDir Path data;

  private final Ledger ledger = new Ledger(6, 350);
  private List<Entry> written = List.of();
  private Path folder;
  private Path file;
  private Path copy;

  @BeforeEach
  void write() throws Exception {
    folder = data.resolve("journal");
    file = folder.resolve("journal.db");
    copy = data.resolve("copy");
    Heard heard = new Heard();
    written = ledger.events(300);
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.putText("rules/1", "part: housing-31");
      store.append(written);
      heard.awaitDurable(written.size());
    }
  }

  @Test
  void aSoundJournalIsCopiedWhole() throws Exception {
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.copied()).isEqualTo(written.size());
    assertThat(report.unproven()).isZero();
    assertThat(report.lost()).isEmpty();
    assertThat(report.unsent())
        .isEqualTo(written.stream().filter(e -> e.topic().isPresent()).count());
    assertThat(Verify.journalFolder(copy).whole()).isTrue();
    assertThat(Verify.journalFolder(copy).journalId())
        .isEqualTo(Verify.journalFolder(folder).journalId());
    try (JournalReader reader = JournalReader.openFolder(copy)) {
      assertThat(Stores.all(reader)).isEqualTo(written);
      assertThat(reader.text("rules/1")).contains("part: housing-31");
    }
  }

  @Test
  void anAlteredEntryIsLeftOutAndTheOneBehindItIsUnproven() throws Exception {
    Entry altered = written.get(99);
    byte[] bytes = Files.readAllBytes(file);
    int at = find(bytes, altered.body().getBytes(StandardCharsets.UTF_8));
    bytes[at + 40] ^= 1;
    Files.write(file, bytes);
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.lost())
        .containsExactly(
            new SalvageReport.Lost(
                100, 100, "its hash does not follow from its text and the hash before it"));
    assertThat(report.copied()).isEqualTo(written.size() - 1);
    assertThat(report.unproven()).isEqualTo(1);
    assertThat(Files.readAllBytes(file)).isEqualTo(bytes);
  }

  @Test
  void ofAFileWithBadPagesEveryEntryIsCopiedOrCountedAsLost() throws Exception {
    long seed = System.nanoTime();
    System.err.println("ofAFileWithBadPages: seed " + seed);
    Random random = new Random(seed);
    byte[] sound = Files.readAllBytes(file);
    int damaged = 0;
    for (int i = 0; i < 12; i++) {
      Files.write(file, sound);
      // The first pages hold the tables' roots: without these nothing is found.
      int page = 14 + random.nextInt(sound.length / PAGE - 14);
      try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
        raw.seek((long) page * PAGE);
        raw.write(new byte[PAGE]);
      }
      Path to = data.resolve("copy-" + i);
      SalvageReport report = Salvage.copy(folder, to);
      assertThat(report.copied() + report.lostEntries())
          .as("page %s", page)
          .isEqualTo(written.size());
      damaged += report.lost().isEmpty() ? 0 : 1;
      Set<Long> lost = new TreeSet<>();
      report.lost().forEach(range -> addAll(lost, range));
      List<Entry> expected =
          written.stream()
              .filter(entry -> !lost.contains(entry.seq()))
              .collect(Collectors.toList());
      try (JournalReader reader = JournalReader.openFolder(to)) {
        assertThat(Stores.all(reader)).as("page %s", page).isEqualTo(expected);
      }
    }
    assertThat(damaged).isPositive();
  }

  @Test
  void aFileWithoutItsFirstPageIsCopiedWholeWithThatOfANewJournal() throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    Arrays.fill(bytes, 0, PAGE, (byte) 0);
    Files.write(file, bytes);
    Path own = Files.createDirectory(data.resolve("copy.reading-1")).resolve("own");
    Files.writeString(own, "not ours");
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.firstPageReplaced()).isTrue();
    assertThat(report.lost()).isEmpty();
    requireAll(copy);
    assertThat(Files.readAllBytes(file)).isEqualTo(bytes);
    assertThat(own).exists();
    try (Stream<Path> left = Files.list(data)) {
      assertThat(left.filter(Files::isDirectory))
          .containsExactlyInAnyOrder(folder, copy, own.getParent());
    }
  }

  @Test
  void ofAFileThatIsCutShortWhatIsThereIsCopied() throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    for (int pages : new int[] {bytes.length / PAGE - 1, bytes.length / PAGE / 2, ROOTS_BUT_ONE}) {
      for (int more : new int[] {0, 1000}) {
        Files.write(file, Arrays.copyOf(bytes, pages * PAGE + more));
        Path to = data.resolve("copy-" + pages + "-" + more);
        SalvageReport report = Salvage.copy(folder, to);
        assertThat(report.copied())
            .as("%s pages and %s bytes", pages, more)
            .isGreaterThanOrEqualTo(pages > ROOTS_BUT_ONE ? 1 : 0);
        assertThat(report.copied() + report.lostEntries()).isEqualTo(written.size());
      }
    }
  }

  /**
   * Its tables begin elsewhere than those of a new journal, and SQLite reads none beyond the end.
   */
  @Test
  void ofABackUpThatIsCutShortWhatIsThereIsCopiedToo() throws Exception {
    Path backup = data.resolve("backup");
    Backup.copy(folder, backup);
    Path saved = backup.resolve("journal.db");
    byte[] bytes = Files.readAllBytes(saved);
    int pages = bytes.length / PAGE;
    Files.write(saved, Arrays.copyOf(bytes, pages / 2 * PAGE));
    SalvageReport report = Salvage.copy(backup, copy);
    assertThat(report.copied()).isGreaterThan(written.size() / 4);
    assertThat(report.copied() + report.lostEntries()).isEqualTo(written.size());
    assertThat(report.firstPageReplaced()).isFalse();
  }

  /** A search that looks one row further than it must would lose the last entry before it. */
  @Test
  void ofAPageThatIsNoneOnlyItsOwnEntriesAreLost() throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    int page = find(bytes, written.get(150).body().getBytes(StandardCharsets.UTF_8)) / PAGE;
    Set<Long> inIt =
        written.stream()
            .filter(e -> find(bytes, e.body().getBytes(StandardCharsets.UTF_8)) / PAGE == page)
            .map(Entry::seq)
            .collect(Collectors.toCollection(TreeSet::new));
    Arrays.fill(bytes, page * PAGE, (page + 1) * PAGE, (byte) 0xff);
    Files.write(file, bytes);
    SalvageReport report = Salvage.copy(folder, copy);
    Set<Long> lost = new TreeSet<>();
    report.lost().forEach(range -> addAll(lost, range));
    assertThat(lost).isEqualTo(inIt);
    VerifyReport verified = Verify.journalFolder(copy);
    assertThat(verified.firstSeq()).isEqualTo(1);
    assertThat(verified.entries()).isEqualTo(written.size() - inIt.size());
  }

  @Test
  void aTableWithoutItsKeyIsReadAsANewJournalHasIt() throws Exception {
    byte[] bytes = Files.readAllBytes(file);
    byte[] text = "CREATE TABLE journal(seq INTEGER".getBytes(StandardCharsets.UTF_8);
    bytes[find(bytes, text) + text.length - 1] ^= 1;
    Files.write(file, bytes);
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.firstPageReplaced()).isTrue();
    requireAll(copy);
  }

  /** A search in its page may end at such a row, and a reading of a range does. */
  @Test
  void aRowUnderAnotherSeqIsTheEntryFromWhichItsHashFollowsAndHidesNoOther() throws Exception {
    byte[] sound = Files.readAllBytes(file);
    for (int seq = 200; seq < 220; seq += 10) {
      int at = placeOfSeq(sound, written.get(seq - 1));
      for (int bit = 0; bit < 14; bit++) {
        byte[] bytes = sound.clone();
        bytes[at - bit / 7] ^= (byte) (1 << (bit % 7));
        Files.write(file, bytes);
        Path to = data.resolve("copy-" + seq + "-" + bit);
        SalvageReport report = Salvage.copy(folder, to);
        assertThat(report.lost()).as("bit %s of the seq of entry %s", bit, seq).isEmpty();
        requireAll(to);
      }
    }
  }

  @Test
  void anEndThatOneTableAloneNamesIsToldAsThat() throws Exception {
    try (Connection connection = JournalFolder.connector(folder).writer();
        Statement statement = connection.createStatement()) {
      statement.executeUpdate("INSERT INTO outbox(seq) VALUES(400000000000)");
      connection.commit();
    }
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.copied()).isEqualTo(written.size());
    assertThat(report.last()).isEqualTo(400_000_000_000L);
    assertThat(report.namedBy()).containsExactly("outbox");
    assertThat(report.lost())
        .containsExactly(new SalvageReport.Lost(written.size() + 1L, 400_000_000_000L, "missing"));
  }

  /** As a damaged row may read, against its table's own rule. */
  @Test
  void aTextThatIsGoneIsLeftOutAndKeepsNothingElseFromBeingCopied() throws Exception {
    try (Connection connection = JournalFolder.connector(folder).writer();
        Statement statement = connection.createStatement()) {
      connection.setAutoCommit(true);
      statement.execute("PRAGMA writable_schema=ON");
      statement.executeUpdate(
          "UPDATE sqlite_master SET sql=replace(sql, ' NOT NULL', '') WHERE name='text'");
    }
    try (Connection connection = JournalFolder.connector(folder).writer();
        Statement statement = connection.createStatement()) {
      statement.executeUpdate("UPDATE text SET body=NULL");
      connection.commit();
    }
    try (JournalReader reader = JournalReader.openFolder(folder)) {
      assertThatThrownBy(() -> reader.text("rules/1"))
          .isInstanceOf(JournalException.class)
          .hasMessageContaining("its hash does not fit");
    }
    SalvageReport report = Salvage.copy(folder, copy);
    assertThat(report.copied()).isEqualTo(written.size());
    try (JournalReader reader = JournalReader.openFolder(copy)) {
      assertThat(Stores.all(reader)).isEqualTo(written);
      assertThat(reader.text("rules/1")).isEmpty();
    }
  }

  @Test
  void whatIsThereAlreadyIsNotOverwritten() throws Exception {
    Files.createDirectory(copy);
    assertThatThrownBy(() -> Salvage.copy(folder, copy))
        .hasMessageEndingWith("is there already; it is not overwritten");
    assertThatThrownBy(() -> Salvage.copy(data, data.resolve("other")))
        .hasMessageStartingWith("no journal in");
  }

  private void requireAll(Path copied) throws Exception {
    try (JournalReader reader = JournalReader.openFolder(copied)) {
      assertThat(Stores.all(reader)).isEqualTo(written);
    }
    assertThat(Verify.journalFolder(copied).whole()).isTrue();
  }

  /** The last byte of the row's key, which stands in two bytes before the record's header. */
  private static int placeOfSeq(byte[] in, Entry entry) {
    int body = find(in, entry.body().getBytes(StandardCharsets.UTF_8));
    byte[] key = {(byte) (0x80 | entry.seq() >> 7), (byte) (entry.seq() & 0x7f)};
    int at = body;
    while (!Arrays.equals(in, at - 1, at + 1, key, 0, 2) || in[at + 1] > 20) {
      at--;
    }
    return at;
  }

  private static void addAll(Set<Long> seqs, SalvageReport.Lost range) {
    for (long seq = range.first(); seq <= range.last(); seq++) {
      seqs.add(seq);
    }
  }

  private static int find(byte[] in, byte[] what) {
    for (int i = 0; i <= in.length - what.length; i++) {
      if (Arrays.equals(in, i, i + what.length, what, 0, what.length)) {
        return i;
      }
    }
    throw new AssertionError("not found");
  }
}

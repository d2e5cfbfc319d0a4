package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.Folders;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * Every bit of a journal of 64 KiB, every sector and every length, one fault at a time: either the
 * journal is taken for sound and reads exactly as written, with what waits to be sent and the last
 * entry of each topic, or the damage is noticed; then a salvage counts to the entry, or says that
 * one table alone names more, and a start puts it away whole. In parts with {@code
 * -Dborewarden.from=N} and {@code -Dborewarden.cases=N}.
 *
 * <p>Most bits are looked at in memory, and there the last link of the chain, which depends on all
 * entries as they were read, stands for them. A sample, every sector and every length are looked at
 * as a file.
 */
class EveryBitTest {
  private static final int SIZE = 64 << 10;
  private static final int SECTOR = 512;
  private static final int FROM = Integer.getInteger("borewarden.from", 0);

  /** The head of every SQLite file; it says that there is a log, which none is in memory. */
  private static final int HEAD_BITS = 100 * 8;

  /** Of so many bits and lengths one is looked at as a file, salvaged and put away. */
  private static final int SAMPLE = 64;

  private static final int MOST_TOLD = 20;

  private final long seed = Long.getLong("borewarden.seed", System.nanoTime());
  private final Random random = new Random(seed);
  private final List<String> wrong = new ArrayList<>();
  private List<Entry> written = List.of();
  private Path scratch = Path.of("");
  private Path data = Path.of("");
  private Path file = Path.of("");
  private byte[] sound = new byte[0];
  private String lastHash = "";
  private List<String> books = List.of();
  private int cases;
  private int unchanged;
  private int noticed;
  private int salvaged;
  private int unprovenAltered;
  private int beyondSalvage;
  private int mended;
  private int named;

  @BeforeEach
  void write() throws Exception {
    assumeTrue(Cases.LONG, "only with -Dborewarden.long=true");
    System.err.println("every bit: seed " + seed);
    Path memory = Path.of("/dev/shm");
    scratch =
        Files.isDirectory(memory)
            ? Files.createTempDirectory(memory, "borewarden")
            : Files.createTempDirectory("borewarden");
    data = scratch.resolve("data");
    file = data.resolve("journal/journal.db");
    for (int events = 20; sound.length < SIZE; events++) {
      if (Files.exists(data)) {
        Folders.delete(data);
      }
      writeJournal(events);
    }
    assertThat(sound).hasSize(SIZE);
    lastHash = ((OpenCheck.Sound) lookAtFile()).lastHash();
    books = books(new JournalFolder(data).connector());
  }

  /** What the small tables say of the entries. */
  private static List<String> books(Connector connector) throws Exception {
    try (Connection connection = connector.reader();
        Statement statement = connection.createStatement();
        ResultSet rows =
            statement.executeQuery(
                "SELECT 'waits', seq FROM outbox UNION ALL SELECT text, last FROM topic"
                    + " JOIN word ON id=word ORDER BY 1, 2")) {
      List<String> told = new ArrayList<>();
      while (rows.next()) {
        told.add(rows.getString(1) + " " + rows.getLong(2));
      }
      return told;
    }
  }

  private void writeJournal(int events) throws Exception {
    Heard heard = new Heard();
    written = new Ledger(4, 100).events(events);
    try (JournalStore store = Stores.open(data)) {
      store.start(heard);
      store.putText("rules/1", "part: housing-31");
      store.append(written);
      heard.awaitDurable(written.size());
    }
    sound = Files.readAllBytes(file);
  }

  @AfterEach
  void clear() throws IOException {
    if (Cases.LONG) {
      Folders.delete(scratch);
    }
  }

  @Test
  void everyBit() throws Exception {
    BitSet texts = bytesOfEntries();
    int to = Math.min(SIZE * 8, FROM + Cases.count(0, SIZE * 8));
    for (int bit = FROM; bit < to; bit++) {
      byte[] bytes = sound.clone();
      bytes[bit / 8] ^= (byte) (1 << (bit % 8));
      int before = noticed;
      if (bit < HEAD_BITS || random.nextInt(SAMPLE) == 0) {
        attack("bit " + bit, bytes, true);
      } else {
        attackInMemory("bit " + bit, bytes);
      }
      if (texts.get(bit / 8) && noticed == before) {
        wrong.add("bit " + bit + " of an entry's text was not noticed");
      }
    }
    tell("bits " + FROM + " to " + (to - 1));
    assertThat(texts.cardinality()).isGreaterThan(written.size() * 100 / 2);
    assertThat(noticed).isPositive();
  }

  @Test
  void everySectorZeroedDoubledOrSwappedWithItsNeighbour() throws Exception {
    for (int at = 0; at < SIZE; at += SECTOR) {
      byte[] zeroed = sound.clone();
      Arrays.fill(zeroed, at, at + SECTOR, (byte) 0);
      attack("zeroed at " + at, zeroed, true);
      int next = at + SECTOR;
      if (next < SIZE) {
        byte[] doubled = sound.clone();
        System.arraycopy(sound, at, doubled, next, SECTOR);
        attack("doubled at " + at, doubled, true);
        byte[] before = sound.clone();
        System.arraycopy(sound, next, before, at, SECTOR);
        attack("doubled backwards at " + at, before, true);
        byte[] swapped = before.clone();
        System.arraycopy(sound, at, swapped, next, SECTOR);
        attack("swapped at " + at, swapped, true);
      }
    }
    tell("every sector");
    assertThat(noticed).isPositive();
  }

  @Test
  void everyLength() throws Exception {
    int to = Math.min(SIZE, FROM + Cases.count(0, SIZE));
    for (int length = FROM; length < to; length++) {
      attack("cut to " + length, Arrays.copyOf(sound, length), random.nextInt(SAMPLE) == 0);
    }
    tell("lengths " + FROM + " to " + (to - 1));
    assertThat(noticed).isEqualTo(to - FROM);
  }

  /** The bytes of entries' texts that stand in the file once, so that they are in use. */
  private BitSet bytesOfEntries() {
    BitSet all = new BitSet();
    for (Entry entry : written) {
      byte[] body = entry.body().getBytes(StandardCharsets.UTF_8);
      List<Integer> places = new ArrayList<>();
      for (int i = 0; i <= sound.length - body.length; i++) {
        if (Arrays.equals(sound, i, i + body.length, body, 0, body.length)) {
          places.add(i);
        }
      }
      if (places.size() == 1) {
        all.set(places.get(0), places.get(0) + body.length);
      }
    }
    return all;
  }

  private void attackInMemory(String what, byte[] bytes) {
    cases++;
    try {
      OpenCheck.Outcome outcome = OpenCheck.look(new InMemory(bytes));
      if (!(outcome instanceof OpenCheck.Sound taken)) {
        noticed++;
      } else if (taken.lastSeq() != written.size() || !taken.lastHash().equals(lastHash)) {
        wrong.add(what + ": taken for sound with another chain");
      } else if (!books(new InMemory(bytes)).equals(books)) {
        wrong.add(what + ": taken for sound with other books");
      }
    } catch (Exception e) {
      wrong.add(what + ": " + e);
    }
  }

  private void attack(String what, byte[] bytes, boolean whole) throws Exception {
    cases++;
    if (Arrays.equals(bytes, sound)) {
      unchanged++;
      return;
    }
    Files.write(file, bytes);
    try {
      boolean isSound = lookAtFile() instanceof OpenCheck.Sound;
      assertThat(Arrays.equals(Files.readAllBytes(file), bytes)).as("only looked at").isTrue();
      if (isSound) {
        try (JournalReader reader = JournalReader.open(data)) {
          assertThat(Stores.all(reader)).isEqualTo(written);
        }
        assertThat(books(new JournalFolder(data).connector())).isEqualTo(books);
        return;
      }
      noticed++;
      if (whole) {
        salvage(what);
        putAway(bytes);
      }
    } catch (AssertionError | Exception e) {
      wrong.add(what + ": " + e);
    }
  }

  private OpenCheck.Outcome lookAtFile() throws Exception {
    return OpenCheck.look(new JournalFolder(data).connector());
  }

  private void salvage(String what) throws Exception {
    Path copy = scratch.resolve("copy");
    try {
      SalvageReport report = Salvage.copy(data.resolve("journal"), copy);
      mended += report.firstPageReplaced() ? 1 : 0;
      check(report, copy);
      salvaged++;
    } catch (JournalException e) {
      beyondSalvage++;
      System.err.println(what + " is beyond salvage: " + e.getMessage());
    } finally {
      if (Files.exists(copy)) {
        Folders.delete(copy);
      }
    }
  }

  /** What is in the copy is as written, but for entries that the report counts as unproven. */
  private void check(SalvageReport report, Path copy) throws Exception {
    if (report.last() > written.size() && report.namedBy().size() == 1) {
      named++;
    } else {
      assertThat(report.copied() + report.lostEntries()).isEqualTo(written.size());
    }
    Set<Long> lost = new TreeSet<>();
    for (SalvageReport.Lost range : report.lost()) {
      for (long seq = range.first(); seq <= Math.min(range.last(), written.size()); seq++) {
        lost.add(seq);
      }
    }
    int altered = 0;
    try (JournalReader reader = JournalReader.openFolder(copy)) {
      List<Entry> copied = Stores.all(reader);
      assertThat(copied.stream().map(Entry::seq))
          .containsExactlyElementsOf(
              written.stream().map(Entry::seq).filter(seq -> !lost.contains(seq)).toList());
      for (Entry entry : copied) {
        if (!entry.equals(written.get((int) entry.seq() - 1))) {
          assertThat(entry.seq() == 1 || lost.contains(entry.seq() - 1))
              .as("entry %s, behind a lost one", entry.seq())
              .isTrue();
          altered++;
        }
      }
    }
    assertThat((long) altered).isLessThanOrEqualTo(report.unproven());
    unprovenAltered += altered;
  }

  private void putAway(byte[] bytes) throws Exception {
    Path away;
    try (JournalStore store = Stores.open(data)) {
      assertThat(store.opened().fresh()).isTrue();
      away = store.opened().setAside().orElseThrow().folder();
    }
    assertThat(Arrays.equals(Files.readAllBytes(away.resolve("journal.db")), bytes)).isTrue();
    Folders.delete(away);
  }

  private void tell(String what) {
    System.err.printf(
        "%s of a journal of %d bytes with %d entries: %d cases, %d noticed, %d changed nothing, the"
            + " others without meaning; of those noticed %d were salvaged to the entry (%d with the"
            + " first page of a new journal, %d with an end that one table alone told, %d altered"
            + " entries among the unproven) and %d were beyond it; %d wrong%n",
        what,
        sound.length,
        written.size(),
        cases,
        noticed,
        unchanged,
        salvaged,
        mended,
        named,
        unprovenAltered,
        beyondSalvage,
        wrong.size());
    assertThat(wrong.stream().limit(MOST_TOLD)).isEmpty();
  }
}

package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.journal.SalvageReport.Lost;

/**
 * Copies what can be read of a damaged journal into a new file, entry by entry where a page is bad.
 * An entry goes over with its seq and its hash only if its texts can be read and its hash follows
 * from the entry before, where that one is there. A row that stands under another seq is the entry
 * from which its hash follows.
 *
 * <p>The damaged file is only read. One run each.
 */
public final class Salvage {
  private static final int AT_ONCE = 512;
  private static final int NEIGHBOURS = 16;
  private static final String UNKNOWN = "unknown";

  private static final String RANGE =
      Rows.COLUMNS + " FROM journal j" + Rows.WORDS + " WHERE j.seq BETWEEN ? AND ? ORDER BY j.seq";

  /** Looks at no row behind it, which may lie in a bad page. */
  private static final String EXACTLY =
      Rows.COLUMNS + " FROM journal j" + Rows.WORDS + " WHERE j.seq=?";

  private final Connection from;
  private final Connection to;
  private final Chain chain = new Chain();
  private final SalvageWriter writer;
  private final List<Lost> lost = new ArrayList<>();
  private Optional<byte[]> hashBefore = Optional.empty();
  private long expected;
  private long copied;
  private long unproven;
  private long unsent;

  private Salvage(Connection from, Connection to) throws SQLException {
    this.from = from;
    this.to = to;
    this.writer = new SalvageWriter(to);
  }

  /**
   * Copies a journal.
   *
   * @param journalFolder the folder of the damaged one
   * @param copyFolder the folder to make; for the time of the run a second one beside it holds a
   *     copy of the damaged file, where its first page is damaged
   * @return what was copied and what is lost
   * @throws JournalException when nothing can be read, the copy's folder is there already, or the
   *     copy cannot be written
   */
  public static SalvageReport copy(Path journalFolder, Path copyFolder) throws JournalException {
    if (!Files.isRegularFile(journalFolder.resolve(JournalFolder.FILE))) {
      throw new JournalException("no journal in " + journalFolder);
    }
    if (Files.exists(copyFolder)) {
      throw new JournalException(copyFolder + " is there already; it is not overwritten");
    }
    try (ReadableCopy readable = ReadableCopy.of(journalFolder, copyFolder);
        Connection from = readable.connector().reader()) {
      String id = tolerant(() -> Tables.firstId(from), UNKNOWN);
      Tables.Anchor start = tolerant(() -> start(from, id), new Tables.Anchor(0, new byte[0]));
      Ends ends = Ends.of(from);
      JournalFolder.createEmpty(copyFolder, id);
      try (Connection to = JournalFolder.connector(copyFolder).writer()) {
        Salvage salvage = new Salvage(from, to);
        salvage.run(salvage.believed(start), ends);
        return salvage.report(id, ends, readable.isMended());
      }
    } catch (SQLException | IOException e) {
      throw new JournalException(
          "cannot salvage " + journalFolder + " into " + copyFolder + ": " + e.getMessage(), e);
    }
  }

  private void run(Tables.Anchor start, Ends ends) throws SQLException {
    expected = start.seq() + 1;
    hashBefore = start.hash().length == 0 ? Optional.empty() : Optional.of(start.hash());
    if (start.seq() > 0 && hashBefore.isPresent()) {
      writer.anchor(start);
    }
    long seq = expected;
    while (seq <= ends.last()) {
      long last = ends.last() - seq < AT_ONCE ? ends.last() : seq + AT_ONCE - 1;
      boolean someThere = range(seq, last, false);
      to.commit();
      seq = someThere ? last + 1 : Math.max(last + 1, ends.nextThere(from, last));
    }
    if (expected <= ends.last()) {
      lose(expected, ends.last(), "missing");
    }
    writer.topics();
    writer.texts(from);
    to.commit();
  }

  private SalvageReport report(String id, Ends ends, boolean mended) {
    return new SalvageReport(id, copied, unproven, lost, unsent, ends.last(), ends.names(), mended);
  }

  /**
   * Reads a range; where that fails, or finds some of it and not all, its halves, down to each
   * entry: a row under a wrong seq ends the reading of a range, and those behind it are there.
   *
   * @return whether anything is there, readable or not
   */
  private boolean range(long first, long last, boolean eachOne) throws SQLException {
    List<Read> rows = List.of();
    boolean there = eachOne;
    try {
      rows = first == last ? one(first) : read(first, last);
    } catch (SQLException e) {
      there = true;
      if (first == last) {
        take(first, Optional.empty(), String.valueOf(e.getMessage()));
      }
    }
    there |= !rows.isEmpty();
    if (first == last || rows.size() > last - first || !there) {
      for (Read row : rows) {
        take(row.entry().seq(), Optional.of(row), "");
      }
      return there;
    }
    long middle = first + (last - first) / 2;
    range(first, middle, true);
    range(middle + 1, last, true);
    return true;
  }

  @SuppressWarnings("ArrayRecordComponent") // handed on, never compared
  private record Read(Entry entry, byte[] hash) {}

  private List<Read> read(long first, long last) throws SQLException {
    return read(RANGE, first, last);
  }

  /** A search for a seq may end a little before it, at a row under a wrong one. */
  private List<Read> one(long seq) throws SQLException {
    List<Read> exactly = read(EXACTLY, seq);
    return exactly.isEmpty()
        ? read(Rows.FROM_SEQ, seq, NEIGHBOURS).stream()
            .filter(row -> row.entry().seq() == seq || follows(as(seq, row)))
            .limit(1)
            .toList()
        : exactly;
  }

  private List<Read> read(String query, long... parameters) throws SQLException {
    List<Read> rows = new ArrayList<>();
    try (PreparedStatement select = from.prepareStatement(query)) {
      for (int i = 0; i < parameters.length; i++) {
        select.setLong(i + 1, parameters[i]);
      }
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          rows.add(new Read(Rows.entry(row), Rows.hash(row)));
        }
      }
    }
    return rows;
  }

  private boolean waits(long seq) {
    return tolerant(
        () -> {
          try (PreparedStatement select =
              from.prepareStatement("SELECT 1 FROM outbox WHERE seq=?")) {
            select.setLong(1, seq);
            try (ResultSet row = select.executeQuery()) {
              return row.next();
            }
          }
        },
        false);
  }

  private void take(long seq, Optional<Read> row, String why) throws SQLException {
    if (seq != expected && row.isPresent()) {
      Read asExpected = as(expected, row.get());
      if (follows(asExpected)) {
        take(expected, Optional.of(asExpected), why);
        return;
      }
    }
    if (seq < expected) {
      return;
    }
    if (seq > expected) {
      lose(expected, seq - 1, "missing");
    }
    expected = seq + 1;
    if (row.isEmpty()) {
      lose(seq, seq, "cannot be read: " + why);
      return;
    }
    copy(row.get());
  }

  private void copy(Read read) throws SQLException {
    long seq = read.entry().seq();
    boolean proven = follows(read);
    if (!proven && hashBefore.isPresent()) {
      lose(seq, seq, "its hash does not follow from its text and the hash before it");
      return;
    }
    boolean waits = waits(seq);
    writer.entry(read.entry(), read.hash(), waits);
    copied++;
    unproven += proven ? 0 : 1;
    unsent += waits ? 1 : 0;
    hashBefore = Optional.of(read.hash());
  }

  private boolean follows(Read read) {
    return hashBefore
        .map(before -> Arrays.equals(chain.next(before, read.entry()), read.hash()))
        .orElse(false);
  }

  private static Read as(long seq, Read read) {
    Entry e = read.entry();
    return new Read(
        new Entry(seq, e.cause(), e.at(), e.kind(), e.topic(), e.prev(), e.rules(), e.body()),
        read.hash());
  }

  private void lose(long first, long last, String why) {
    hashBefore = Optional.empty();
    if (!lost.isEmpty()) {
      Lost before = lost.get(lost.size() - 1);
      if (before.last() == first - 1 && before.why().equals(why)) {
        lost.set(lost.size() - 1, new Lost(before.first(), last, why));
        return;
      }
    }
    lost.add(new Lost(first, last, why));
  }

  /**
   * An anchor's seq has no proof of its own. Where the first entry does not hang on it, and would
   * if it were the one before that entry, it is that one; else entries before it are there.
   */
  private Tables.Anchor believed(Tables.Anchor told) {
    long first = tolerant(() -> Tables.number(from, "SELECT min(seq) FROM journal"), 0L);
    Tables.Anchor there = new Tables.Anchor(first - 1, told.hash());
    if (first <= 0 || first == told.seq() + 1 || hangs(told, first)) {
      return told;
    }
    if (hangs(there, first)) {
      return there;
    }
    return first <= told.seq() ? new Tables.Anchor(first - 1, new byte[0]) : told;
  }

  /** Whether the entry behind an anchor follows from it, be it that it stands as the first one. */
  private boolean hangs(Tables.Anchor anchor, long first) {
    long seq = anchor.seq() + 1;
    List<Read> rows = new ArrayList<>(tolerant(() -> read(EXACTLY, seq), List.of()));
    rows.addAll(tolerant(() -> read(EXACTLY, first), List.of()));
    return anchor.hash().length > 0
        && rows.stream()
            .map(row -> as(seq, row))
            .anyMatch(row -> Arrays.equals(chain.next(anchor.hash(), row.entry()), row.hash()));
  }

  private static Tables.Anchor start(Connection from, String id) throws SQLException {
    Optional<Tables.Anchor> anchor = Tables.anchor(from);
    return anchor.orElseGet(
        () -> new Tables.Anchor(0, id.equals(UNKNOWN) ? new byte[0] : new Chain().genesis(id)));
  }

  private static <T> T tolerant(Tables.Query<T> query, T without) {
    return Tables.tolerant(query).orElse(without);
  }
}

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
 * from the entry before, where that one is there.
 *
 * <p>The damaged file is only read. One run each.
 */
public final class Salvage {
  private static final int AT_ONCE = 512;
  private static final String UNKNOWN = "unknown";

  private static final String RANGE =
      Rows.COLUMNS + " FROM journal j" + Rows.WORDS + " WHERE j.seq BETWEEN ? AND ? ORDER BY j.seq";

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
   * @param copyFolder the folder to make
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
    try (Connection from = JournalFolder.connector(journalFolder).reader()) {
      String id = tolerant(() -> Tables.firstId(from), UNKNOWN);
      Tables.Anchor start = tolerant(() -> start(from, id), new Tables.Anchor(0, new byte[0]));
      long last = highest(from);
      JournalFolder.createEmpty(copyFolder, id);
      try (Connection to = JournalFolder.connector(copyFolder).writer()) {
        Salvage salvage = new Salvage(from, to);
        return salvage.run(id, start, last);
      }
    } catch (SQLException | IOException e) {
      throw new JournalException(
          "cannot salvage " + journalFolder + " into " + copyFolder + ": " + e.getMessage(), e);
    }
  }

  private SalvageReport run(String id, Tables.Anchor start, long last) throws SQLException {
    expected = start.seq() + 1;
    hashBefore = start.hash().length == 0 ? Optional.empty() : Optional.of(start.hash());
    if (start.seq() > 0) {
      writer.anchor(start);
    }
    for (long seq = expected; seq <= last; seq += AT_ONCE) {
      range(seq, Math.min(last, seq + AT_ONCE - 1));
      to.commit();
    }
    if (expected <= last) {
      lose(expected, last, "missing");
    }
    writer.texts(from);
    to.commit();
    return new SalvageReport(id, copied, unproven, lost, unsent);
  }

  /** Reads a range; where that fails, its halves; where one entry fails, that one is lost. */
  private void range(long first, long last) throws SQLException {
    List<Read> rows;
    try {
      rows = read(first, last);
    } catch (SQLException e) {
      if (first == last) {
        take(first, Optional.empty(), String.valueOf(e.getMessage()));
        return;
      }
      long middle = first + (last - first) / 2;
      range(first, middle);
      range(middle + 1, last);
      return;
    }
    for (Read row : rows) {
      take(row.entry().seq(), Optional.of(row), "");
    }
  }

  @SuppressWarnings("ArrayRecordComponent") // handed on, never compared
  private record Read(Entry entry, byte[] hash, boolean unsent) {}

  private List<Read> read(long first, long last) throws SQLException {
    List<Read> rows = new ArrayList<>();
    try (PreparedStatement select = from.prepareStatement(RANGE)) {
      select.setLong(1, first);
      select.setLong(2, last);
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          Entry entry = Rows.entry(row);
          rows.add(new Read(entry, Rows.hash(row), waits(entry.seq())));
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
    Read read = row.get();
    boolean proven =
        hashBefore.map(b -> Arrays.equals(chain.next(b, read.entry()), read.hash())).orElse(false);
    if (!proven && hashBefore.isPresent()) {
      lose(seq, seq, "its hash does not follow from its text and the hash before it");
      return;
    }
    writer.entry(read.entry(), read.hash(), read.unsent());
    copied++;
    unproven += proven ? 0 : 1;
    unsent += read.unsent() ? 1 : 0;
    hashBefore = Optional.of(read.hash());
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

  private static Tables.Anchor start(Connection from, String id) throws SQLException {
    Optional<Tables.Anchor> anchor = Tables.anchor(from);
    return anchor.orElseGet(
        () -> new Tables.Anchor(0, id.equals(UNKNOWN) ? new byte[0] : new Chain().genesis(id)));
  }

  /** The highest seq that any table that can be read names. */
  private static long highest(Connection from) throws SQLException {
    long highest = 0;
    for (String query :
        List.of(
            "SELECT max(seq) FROM journal",
            "SELECT max(last) FROM topic",
            "SELECT max(seq) FROM outbox",
            "SELECT max(seq) FROM snapshot")) {
      highest = Math.max(highest, tolerant(() -> Tables.number(from, query), 0L));
    }
    String stopped = tolerant(() -> Tables.meta(from, Tables.CLEAN_STOP).orElse("0"), "0");
    if (stopped.matches("[0-9]{1,18}")) {
      highest = Math.max(highest, Long.parseLong(stopped));
    }
    if (highest == 0) {
      throw new SQLException("no entry can be read");
    }
    return highest;
  }

  /**
   * A read of something damaged.
   *
   * @param <T> what is read
   */
  private interface Attempt<T> {
    T read() throws SQLException;
  }

  private static <T> T tolerant(Attempt<T> attempt, T without) {
    try {
      return attempt.read();
    } catch (SQLException damaged) {
      return without;
    }
  }
}

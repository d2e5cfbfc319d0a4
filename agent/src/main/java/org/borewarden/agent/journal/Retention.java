package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Retires the first entries of a journal by age and size, some at a time between commits, and gives
 * their space back. What is retired leaves an anchor, its last seq and hash, on which the chain of
 * the rest hangs.
 *
 * <p>Never retired: what the broker has not acknowledged, what a latched hold names, what a kept
 * snapshot stands on, and so many entries before those. After a forward step of the wall clock by
 * more than an hour, nothing is retired for its age until the next start: a wrong clock must not
 * empty a journal.
 *
 * <p>Scribe's thread only.
 */
final class Retention {
  private static final Logger LOG = LoggerFactory.getLogger(Retention.class);
  private static final int ROWS_AT_ONCE = 1_000;
  private static final Duration CLOCK_TRUSTED_WITHIN = Duration.ofHours(1);

  private final Keep keep;
  private final WallClock wall;
  private final MonotonicClock clock;
  private final JournalListener listener;
  private final long clockOffsetMillis;

  private long nextLook;
  private long bytes;
  private boolean more;
  private boolean clockDoubted;
  private boolean toldFull;
  private Pass retired = Pass.NONE;
  private Pass dropped = Pass.NONE;

  // What was done since the last note of it.
  private record Pass(long first, long last, long count) {
    static final Pass NONE = new Pass(0, 0, 0);

    Pass with(long from, long to, long rows) {
      return new Pass(first == 0 ? from : first, to, count + rows);
    }
  }

  // How far entries may go, and whether it is the outbox that keeps the rest.
  private record Floor(long seq, boolean byOutbox) {}

  Retention(Keep keep, WallClock wall, MonotonicClock clock, JournalListener listener) {
    this.keep = keep;
    this.wall = wall;
    this.clock = clock;
    this.listener = listener;
    this.clockOffsetMillis = offsetMillis();
    this.nextLook = clock.nanos() + keep.lookEvery().toNanos();
  }

  /** Whether there is more to do at once. */
  boolean wantsMore() {
    return more;
  }

  /** The size of the journal at the last look; empty before the first. */
  OptionalLong bytes() {
    return bytes == 0 ? OptionalLong.empty() : OptionalLong.of(bytes);
  }

  /**
   * Retires some entries, if it is time.
   *
   * @param connection the writer's, between two transactions
   * @return true when rows of the outbox were dropped, so that they are to be counted anew
   */
  boolean turn(Connection connection) throws SQLException {
    if (!more && clock.nanos() - nextLook < 0) {
      return false;
    }
    nextLook = clock.nanos() + keep.lookEvery().toNanos();
    bytes = Space.bytes(connection);
    boolean over = bytes > keep.bytes();
    Floor floor = floor(connection);
    long upTo = upTo(connection, floor.seq(), over);
    if (upTo > 0) {
      retire(connection, upTo);
      more = true;
      return false;
    }
    boolean full = over && floor.byOutbox();
    boolean someDropped = full && keep.dropReadings() && drop(connection);
    more = someDropped;
    if (!more) {
      tell(full);
    }
    connection.commit();
    return someDropped;
  }

  private Floor floor(Connection connection) throws SQLException {
    long unsent = number(connection, "SELECT min(seq) FROM outbox", Long.MAX_VALUE) - 1;
    long snapshot = number(connection, "SELECT min(seq) FROM snapshot", 0);
    long needed =
        number(
            connection,
            "SELECT needed FROM snapshot WHERE needed > 0 ORDER BY seq DESC LIMIT 1",
            Long.MAX_VALUE);
    long stands = Math.min(snapshot, needed) - 1 - keep.behind();
    return new Floor(Math.min(unsent, stands), unsent < stands);
  }

  private long upTo(Connection connection, long floor, boolean over) throws SQLException {
    long youngest = wall.now().toEpochMilli() - keep.age().toMillis();
    boolean byAge = clockTrusted();
    long upTo = 0;
    try (PreparedStatement select =
        connection.prepareStatement("SELECT seq, at FROM journal ORDER BY seq LIMIT ?")) {
      select.setInt(1, ROWS_AT_ONCE);
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          boolean old = byAge && row.getLong(2) < youngest;
          if (row.getLong(1) > floor || !(old || over)) {
            return upTo;
          }
          upTo = row.getLong(1);
        }
      }
    }
    return upTo;
  }

  private void retire(Connection connection, long upTo) throws SQLException {
    byte[] hash = Tables.hashOf(connection, upTo);
    long before = Tables.anchor(connection).map(Tables.Anchor::seq).orElse(0L);
    long rows = delete(connection, "DELETE FROM journal WHERE seq<=?", upTo);
    delete(connection, "DELETE FROM aside WHERE seq<=?", upTo);
    delete(connection, "DELETE FROM anchor WHERE seq<=?", upTo);
    try (PreparedStatement insert =
        connection.prepareStatement("INSERT INTO anchor(seq, hash, at) VALUES(?, ?, ?)")) {
      insert.setLong(1, upTo);
      insert.setBytes(2, hash);
      insert.setLong(3, wall.now().toEpochMilli());
      insert.executeUpdate();
    }
    connection.commit();
    retired = retired.with(before + 1, upTo, rows);
    Space.giveBack(connection);
  }

  /** The first readings leave the outbox; their entries stay until they are retired. */
  private boolean drop(Connection connection) throws SQLException {
    String readings =
        "SELECT o.seq FROM outbox o JOIN journal j ON j.seq=o.seq JOIN word w ON w.id=j.kind"
            + " WHERE w.text='reading-taken' ORDER BY o.seq LIMIT "
            + ROWS_AT_ONCE;
    long first = number(connection, "SELECT min(seq) FROM (" + readings + ")", 0);
    long last = number(connection, "SELECT max(seq) FROM (" + readings + ")", 0);
    if (last == 0) {
      return false;
    }
    long rows;
    try (Statement statement = connection.createStatement()) {
      rows = statement.executeUpdate("DELETE FROM outbox WHERE seq IN (" + readings + ")");
    }
    connection.commit();
    dropped = dropped.with(first, last, rows);
    return true;
  }

  private void tell(boolean full) {
    note(JournalNote.RETIRED, retired, "the journal has " + mebibytes(bytes) + " now");
    note(JournalNote.LEFT_UNSENT, dropped, "readings left the full outbox unsent");
    retired = Pass.NONE;
    dropped = Pass.NONE;
    if (full != toldFull) {
      toldFull = full;
      String why =
          "what the broker has not acknowledged keeps the journal at "
              + mebibytes(bytes)
              + ", at most "
              + mebibytes(keep.bytes());
      LOG.warn("{}", full ? why : "the journal is within its size again");
      listener.outboxFull(full ? Optional.of(why) : Optional.empty());
    }
  }

  private void note(String what, Pass pass, String detail) {
    if (pass.count() > 0) {
      LOG.info(
          "{} {}: {} entries, {} to {}", what, detail, pass.count(), pass.first(), pass.last());
      listener.noted(new JournalNote(what, pass.first(), pass.last(), pass.count(), detail));
    }
  }

  private boolean clockTrusted() {
    if (!clockDoubted && offsetMillis() - clockOffsetMillis > CLOCK_TRUSTED_WITHIN.toMillis()) {
      clockDoubted = true;
      LOG.warn("the wall clock went forward by more than an hour: no entry is retired for its age");
    }
    return !clockDoubted;
  }

  private long offsetMillis() {
    return wall.now().toEpochMilli() - Duration.ofNanos(clock.nanos()).toMillis();
  }

  private static String mebibytes(long bytes) {
    return (bytes >> 20) + " MiB";
  }

  private static long delete(Connection connection, String sql, long upTo) throws SQLException {
    try (PreparedStatement delete = connection.prepareStatement(sql)) {
      delete.setLong(1, upTo);
      return delete.executeUpdate();
    }
  }

  private static long number(Connection connection, String query, long without)
      throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      if (!row.next()) {
        return without;
      }
      long found = row.getLong(1);
      return row.wasNull() ? without : found;
    }
  }
}

package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.sqlite.SQLiteErrorCode;

/**
 * Looks a journal over before it is used, without writing: SQLite's own check, the tables' texts,
 * the chain of the last entries, and what the small tables say of them. A whole check of a large
 * file would keep the cell waiting; {@link Verify} does that.
 */
final class OpenCheck {
  /** About half a second here; a shop's journal of some weeks. */
  static final long TAIL_ENTRIES = 50_000;

  /** Up to this size SQLite checks the whole file, above it only the small tables. */
  private static final long WHOLE_CHECK_BYTES = 64L << 20;

  private static final List<String> SMALL_TABLES = List.of("meta", "word", "topic", "outbox");

  private OpenCheck() {}

  /** What a look at a journal gave: either where it ends, or why it may not be used. */
  sealed interface Outcome permits Sound, Damaged {}

  /**
   * A journal that may be used.
   *
   * @param id its id
   * @param lastSeq its last seq, 0 for none
   * @param lastHash the chain's last hash, in hexadecimal digits
   * @param cleanStop whether it was last stopped in order
   * @param layout the version of its layout
   */
  record Sound(String id, long lastSeq, String lastHash, boolean cleanStop, int layout)
      implements Outcome {}

  /**
   * A journal that may not be used.
   *
   * @param why in words
   */
  record Damaged(String why) implements Outcome {}

  static Outcome look(Connector connector) throws SQLException {
    try (Connection connection = connector.reader()) {
      Optional<String> complaint = complaint(connection);
      return complaint.isPresent() ? new Damaged(complaint.get()) : follow(connection);
    } catch (SQLException e) {
      if (isDamage(e)) {
        return new Damaged(String.valueOf(e.getMessage()));
      }
      throw e;
    }
  }

  /** Whether a failure tells of the file's content, not of the disk or of its rights. */
  static boolean isDamage(SQLException e) {
    int code = e.getErrorCode();
    return code == SQLiteErrorCode.SQLITE_CORRUPT.code
        || code == SQLiteErrorCode.SQLITE_NOTADB.code
        || code == SQLiteErrorCode.SQLITE_ERROR.code;
  }

  private static Outcome follow(Connection connection) throws SQLException {
    if (!Schema.isOurs(connection) || Tables.meta(connection, Tables.ID).isEmpty()) {
      return new Damaged("it has no id or no layout version");
    }
    if (!Schema.isWhole(connection)) {
      return new Damaged("its tables are not as they were made");
    }
    Optional<String> begins = Beginning.unlike(connection);
    if (begins.isPresent()) {
      return new Damaged(begins.get());
    }
    ChainWalk walk = ChainWalk.tail(connection, TAIL_ENTRIES).run();
    if (walk.first().isPresent()) {
      return new Damaged(
          "the chain of entries is broken at "
              + walk.first().get().seq()
              + ": "
              + walk.first().get().what());
    }
    Optional<String> unlike = Bookkeeping.unlike(connection, walk, TAIL_ENTRIES);
    if (unlike.isPresent()) {
      return new Damaged(unlike.get());
    }
    boolean clean =
        Tables.meta(connection, Tables.CLEAN_STOP)
            .filter(seq -> seq.equals(Long.toString(walk.lastSeq())))
            .isPresent();
    return new Sound(
        Tables.journalId(connection),
        walk.lastSeq(),
        HexFormat.of().formatHex(walk.lastHash()),
        clean,
        Schema.version(connection));
  }

  private static Optional<String> complaint(Connection connection) throws SQLException {
    if (bytes(connection) <= WHOLE_CHECK_BYTES) {
      return complaint(connection, "PRAGMA quick_check(1)");
    }
    for (String table : SMALL_TABLES) {
      Optional<String> complaint = complaint(connection, "PRAGMA quick_check('" + table + "')");
      if (complaint.isPresent()) {
        return complaint;
      }
    }
    return Optional.empty();
  }

  private static Optional<String> complaint(Connection connection, String check)
      throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(check)) {
      String answer = row.next() ? row.getString(1) : "no answer";
      return "ok".equals(answer) ? Optional.empty() : Optional.of(answer);
    }
  }

  private static long bytes(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size")) {
      return row.next() ? row.getLong(1) : 0;
    }
  }
}

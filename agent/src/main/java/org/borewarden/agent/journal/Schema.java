package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * The tables, and the version of their layout in SQLite's {@code user_version} and {@code
 * application_id}.
 *
 * <ul>
 *   <li>{@code meta}: the journal's id, when and by which version it was begun, a clean stop
 *   <li>{@code word}: kinds, topics and rules revisions, which repeat in every row, once
 *   <li>{@code journal}: the entries with their link of the {@link Chain}
 *   <li>{@code topic}: the last seq on each topic
 *   <li>{@code outbox}: seqs that the broker has not acknowledged; {@code aside}: that it refused
 *   <li>{@code text}: see {@link Shelf}; {@code snapshot}: see {@link Journal#putSnapshot}; each
 *       with its hash, a snapshot also with the hash of its entry
 *   <li>{@code anchor}: the last retired entry with its hash, on which the chain of the rest hangs
 *   <li>{@code era}: from which entry on the journal goes by another id than the first
 * </ul>
 *
 * <p>Layout 1 had neither anchor nor era, and a snapshot table that nothing was written to. A file
 * of an earlier layout is brought to this one in one transaction when it is opened for writing.
 */
final class Schema {
  static final int VERSION = 2;

  static final int WITH_SNAPSHOTS = 2;
  static final int WITH_ANCHOR = 2;
  static final int WITH_ERAS = 2;

  /**
   * "BW" in the upper half, the version in the lower: the version stands twice, so that a flipped
   * bit is not taken for a later version.
   */
  static final int APPLICATION_ID = 0x4257_0000;

  private static final String CREATE = "CREATE TABLE ";

  private static final String SNAPSHOT =
      "CREATE TABLE snapshot(seq INTEGER PRIMARY KEY, needed INTEGER NOT NULL,"
          + " layout TEXT NOT NULL, chain BLOB NOT NULL, body TEXT NOT NULL, hash BLOB NOT NULL)";
  private static final String ANCHOR =
      "CREATE TABLE anchor(seq INTEGER PRIMARY KEY, hash BLOB NOT NULL, at INTEGER NOT NULL)";
  private static final String ERA =
      "CREATE TABLE era(first INTEGER PRIMARY KEY, id TEXT NOT NULL, at INTEGER NOT NULL,"
          + " why TEXT NOT NULL, hash BLOB NOT NULL)";

  private static final List<String> TABLES =
      List.of(
          "CREATE TABLE meta(name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
          "CREATE TABLE word(id INTEGER PRIMARY KEY, text TEXT NOT NULL)",
          "CREATE TABLE journal(seq INTEGER PRIMARY KEY, cause INTEGER NOT NULL,"
              + " at INTEGER NOT NULL, kind INTEGER NOT NULL, topic INTEGER, prev INTEGER NOT NULL,"
              + " rules INTEGER NOT NULL, body TEXT NOT NULL, hash BLOB NOT NULL)",
          "CREATE TABLE topic(word INTEGER PRIMARY KEY, last INTEGER NOT NULL)",
          "CREATE TABLE outbox(seq INTEGER PRIMARY KEY)",
          "CREATE TABLE aside(seq INTEGER PRIMARY KEY, at INTEGER NOT NULL, why TEXT NOT NULL)",
          "CREATE TABLE text(name TEXT PRIMARY KEY, body TEXT NOT NULL, hash BLOB NOT NULL)",
          SNAPSHOT,
          ANCHOR,
          ERA);

  private static final List<String> FROM_LAYOUT_1 =
      List.of("DROP TABLE snapshot", SNAPSHOT, ANCHOR, ERA);

  private Schema() {}

  /** Lays out an empty file, inside the caller's transaction. */
  static void create(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String table : TABLES) {
        statement.executeUpdate(table);
      }
      stamp(statement);
    }
  }

  /**
   * Brings a sound file of an earlier layout to this one, in one transaction. The entries are not
   * touched.
   */
  static void upgrade(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String change : FROM_LAYOUT_1) {
        statement.executeUpdate(change);
      }
      stamp(statement);
      connection.commit();
    }
  }

  private static void stamp(Statement statement) throws SQLException {
    statement.executeUpdate("PRAGMA user_version=" + VERSION);
    statement.executeUpdate("PRAGMA application_id=" + (APPLICATION_ID + VERSION));
  }

  /** Refuses a file from a later version before anything in it is touched. */
  static void requireKnown(Connection connection) throws SQLException {
    int found = pragma(connection, "user_version");
    if (found > VERSION && pragma(connection, "application_id") == APPLICATION_ID + found) {
      throw new NewerSchemaException(
          "the journal was written by a later version of the agent (layout "
              + found
              + ", this one knows "
              + VERSION
              + "); it was left untouched");
    }
  }

  /** Whether both places say that the layout is ours, of this version or an earlier one. */
  static boolean isOurs(Connection connection) throws SQLException {
    int found = version(connection);
    return found >= 1
        && found <= VERSION
        && pragma(connection, "application_id") == APPLICATION_ID + found;
  }

  /**
   * Whether every table of the file's layout is there as it was made. A flipped bit can turn a
   * table's text into that of another table, which SQLite reads without complaint: without its
   * primary key the journal is empty to whoever asks by seq.
   */
  static boolean isWhole(Connection connection) throws SQLException {
    Set<String> found = new HashSet<>();
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery("SELECT type, name, tbl_name, sql FROM sqlite_master")) {
      while (row.next()) {
        found.add(row.getString(1) + row.getString(2) + row.getString(3) + row.getString(4));
      }
    }
    boolean first = version(connection) < WITH_SNAPSHOTS;
    return TABLES.stream()
        .filter(table -> !first || !FROM_LAYOUT_1.contains(table))
        .allMatch(table -> found.contains("table" + name(table) + name(table) + table));
  }

  private static String name(String table) {
    return table.substring(CREATE.length(), table.indexOf('('));
  }

  /** The layout of a file. */
  static int version(Connection connection) throws SQLException {
    return pragma(connection, "user_version");
  }

  private static int pragma(Connection connection, String name) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet answer = statement.executeQuery("PRAGMA " + name)) {
      return answer.next() ? answer.getInt(1) : 0;
    }
  }

  /** Says that a file is from a later version. */
  static final class NewerSchemaException extends SQLException {
    private static final long serialVersionUID = 1L;

    NewerSchemaException(String message) {
      super(message);
    }
  }
}

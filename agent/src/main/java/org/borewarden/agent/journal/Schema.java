package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;

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
 *   <li>{@code text}, {@code snapshot}: see {@link Shelf}, each with its hash
 * </ul>
 */
final class Schema {
  static final int VERSION = 1;

  /**
   * "BW" in the upper half, the version in the lower: the version stands twice, so that a flipped
   * bit is not taken for a later version.
   */
  static final int APPLICATION_ID = 0x4257_0000;

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
          "CREATE TABLE snapshot(seq INTEGER PRIMARY KEY, body TEXT NOT NULL, hash BLOB NOT NULL)");

  private Schema() {}

  /** Lays out an empty file, inside the caller's transaction. */
  static void create(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String table : TABLES) {
        statement.executeUpdate(table);
      }
      statement.executeUpdate("PRAGMA user_version=" + VERSION);
      statement.executeUpdate("PRAGMA application_id=" + (APPLICATION_ID + VERSION));
    }
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

  /** Whether both places say that the layout is ours. */
  static boolean isOurs(Connection connection) throws SQLException {
    return pragma(connection, "user_version") == VERSION
        && pragma(connection, "application_id") == APPLICATION_ID + VERSION;
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

package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;

/** The room that a journal takes on the disk, and how it is given back. */
final class Space {
  /** Pages given back at once, 4 KiB each. */
  private static final int PAGES_AT_ONCE = 500;

  private Space() {}

  /** The bytes in use, without pages that are free inside the file. */
  static long bytes(Connection connection) throws SQLException {
    return number(
        connection,
        "SELECT (page_count - freelist_count) * page_size"
            + " FROM pragma_page_count, pragma_freelist_count, pragma_page_size");
  }

  /** Gives free pages back to the file system, some at a time; the file shrinks with its log. */
  static void giveBack(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      // Each step frees one page; only an update runs a pragma to its end.
      statement.executeUpdate("PRAGMA incremental_vacuum(" + PAGES_AT_ONCE + ")");
    }
    connection.commit();
  }

  /** Rewrites a file that was begun without the means to give space back. */
  static void makeRetirable(Connection connection) throws SQLException {
    connection.setAutoCommit(true);
    try (Statement statement = connection.createStatement()) {
      statement.execute("VACUUM");
    }
    connection.setAutoCommit(false);
  }

  private static long number(Connection connection, String query) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      return row.next() ? row.getLong(1) : 0;
    }
  }
}

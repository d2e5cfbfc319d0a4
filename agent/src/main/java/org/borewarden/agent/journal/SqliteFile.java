package org.borewarden.agent.journal;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Locale;
import org.sqlite.SQLiteConfig;

/**
 * Opens connections to a journal in SQLite, with the settings that its promises rest on: a
 * write-ahead log, and a sync before a commit returns. The settings are read back, since SQLite
 * falls back silently where it cannot follow them.
 */
final class SqliteFile implements Connector {
  /** Longer than any read of ours; after it the other process is at fault. */
  static final int BUSY_MILLIS = 5_000;

  private static final int SYNCHRONOUS_FULL = 2;

  /** Pages that retention frees go back to the file system when we ask for it. */
  private static final int INCREMENTAL = 2;

  /** What the log is cut down to when it begins again, bytes. */
  private static final long LOG_KEPT_BYTES = 16L << 20;

  private final String url;

  SqliteFile(Path file) {
    this.url = "jdbc:sqlite:" + file;
  }

  @Override
  public Connection writer() throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setBusyTimeout(BUSY_MILLIS);
    // A transaction that starts by reading and then writes can fail at once when another has
    // written in between; one that starts as a writer cannot.
    config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
    Connection connection = config.createConnection(url);
    try {
      Schema.requireKnown(connection);
      giveSpaceBack(connection);
      set(connection, "journal_mode", "wal");
      set(connection, "synchronous", Integer.toString(SYNCHRONOUS_FULL));
      set(connection, "journal_size_limit", Long.toString(LOG_KEPT_BYTES));
      connection.setAutoCommit(false);
      return connection;
    } catch (SQLException e) {
      Closing.after(e, connection);
      throw e;
    }
  }

  @Override
  public Connection reader() throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    config.setBusyTimeout(BUSY_MILLIS);
    Connection connection = config.createConnection(url);
    try {
      Schema.requireKnown(connection);
      return connection;
    } catch (SQLException e) {
      Closing.after(e, connection);
      throw e;
    }
  }

  /** Takes effect on an empty file; on any other it needs a {@code VACUUM}. */
  private static void giveSpaceBack(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA auto_vacuum=" + INCREMENTAL);
    }
  }

  private static void set(Connection connection, String pragma, String value) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA " + pragma + "=" + value);
      try (ResultSet answer = statement.executeQuery("PRAGMA " + pragma)) {
        String found = answer.next() ? answer.getString(1).toLowerCase(Locale.ROOT) : "nothing";
        if (!found.equals(value)) {
          throw new SQLException(
              "journal setting " + pragma + ": expected " + value + ", found " + found);
        }
      }
    }
  }
}

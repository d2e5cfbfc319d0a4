package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import org.sqlite.SQLiteConnection;

/** A journal's file as bytes, to be read where no disk is. */
final class InMemory implements Connector {
  /** Where a file says by which rules it is written and read, and what it says without a log. */
  private static final int WRITTEN_BY = 18;

  private static final int READ_BY = 19;
  private static final byte WITHOUT_LOG = 1;

  private final byte[] file;

  InMemory(byte[] file) {
    this.file = file.clone();
    this.file[WRITTEN_BY] = WITHOUT_LOG;
    this.file[READ_BY] = WITHOUT_LOG;
  }

  @Override
  public Connection writer() {
    throw new UnsupportedOperationException("only to be read");
  }

  @Override
  public Connection reader() throws SQLException {
    Connection connection = DriverManager.getConnection("jdbc:sqlite::memory:");
    connection.unwrap(SQLiteConnection.class).deserialize("main", file);
    Schema.requireKnown(connection);
    return connection;
  }
}

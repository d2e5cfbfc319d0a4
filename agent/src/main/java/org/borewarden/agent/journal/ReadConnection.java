package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;

/**
 * A reader's connection, opened when first needed and thrown away after a failure, so that a reader
 * gets well when the disk does. One thread each.
 */
final class ReadConnection {
  private final Connector connector;
  private Optional<Connection> open = Optional.empty();

  ReadConnection(Connector connector) {
    this.connector = connector;
  }

  /**
   * A read that may fail.
   *
   * @param <T> what is read
   */
  interface Read<T> {
    T from(Connection connection) throws SQLException;
  }

  <T> T read(String what, Read<T> read) throws JournalException {
    try {
      Connection connection = connection();
      try {
        return read.from(connection);
      } catch (SQLException e) {
        open = Optional.empty();
        Closing.after(e, connection);
        throw e;
      }
    } catch (SQLException e) {
      throw new JournalException("cannot read " + what + " from the journal: " + e.getMessage(), e);
    }
  }

  void close() {
    Optional<Connection> closing = open;
    open = Optional.empty();
    if (closing.isPresent()) {
      try {
        closing.get().close();
      } catch (SQLException e) {
        throw new IllegalStateException("a reader was closed in the midst of a read", e);
      }
    }
  }

  private Connection connection() throws SQLException {
    if (open.isEmpty()) {
      open = Optional.of(connector.reader());
    }
    return open.get();
  }
}

package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import java.util.function.Consumer;

/**
 * A reader's connection, opened when first needed and thrown away after a failure, so that a reader
 * gets well when the disk does. One thread reads; the scribe may let it go between two reads.
 */
final class ReadConnection {
  private final Connector connector;
  private final Consumer<ReadConnection> closed;
  private Optional<Connection> open = Optional.empty();

  /** The only one of its process. */
  ReadConnection(Connector connector) {
    this(connector, nobody -> {});
  }

  /** One of several, who are told when it is closed. */
  ReadConnection(Connector connector, Consumer<ReadConnection> closed) {
    this.connector = connector;
    this.closed = closed;
  }

  /**
   * A read that may fail.
   *
   * @param <T> what is read
   */
  interface Read<T> {
    T from(Connection connection) throws SQLException;
  }

  synchronized <T> T read(String what, Read<T> read) throws JournalException {
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
    letGo();
    closed.accept(this);
  }

  /** Closes what is open; the next read opens it again. */
  synchronized void letGo() {
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

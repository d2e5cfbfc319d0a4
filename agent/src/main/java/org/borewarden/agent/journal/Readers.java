package org.borewarden.agent.journal;

import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;

/**
 * The connections that read a store's journal beside its writer.
 *
 * <p>SQLite shares the index of the write-ahead log among all connections of a process to a file.
 * When it could not be opened for writing once, for want of a file handle say, SQLite opens it for
 * reading, and so it stays for every later connection until all of them are closed: then the writer
 * is told that the journal is read-only, however often it opens it. So whoever writes may ask all
 * readers to let go.
 */
final class Readers {
  private final Connector connector;
  private final Set<ReadConnection> all = ConcurrentHashMap.newKeySet();

  Readers(Connector connector) {
    this.connector = connector;
  }

  /** One more, which its owner closes. */
  ReadConnection add() {
    ReadConnection reader = new ReadConnection(connector, all::remove);
    all.add(reader);
    return reader;
  }

  /** Each connection is closed when its read has ended, and opened again by its next one. */
  void letGo() {
    all.forEach(ReadConnection::letGo);
  }
}

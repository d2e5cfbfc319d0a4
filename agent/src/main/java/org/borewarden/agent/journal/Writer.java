package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.sql.Types;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The one connection that writes. After any failure it must be thrown away: SQLite may have rolled
 * back without the driver knowing, and a later statement would then be stored on its own. Scribe's
 * thread only.
 */
final class Writer implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(Writer.class);
  private static final int SNAPSHOTS_KEPT = 2;

  /**
   * What a transaction did to the outbox.
   *
   * @param added rows put in
   * @param acknowledged rows taken out because the broker has them
   * @param refused rows set aside
   * @param oldest the time of the oldest row left
   */
  record Written(int added, int acknowledged, int refused, Optional<Instant> oldest) {}

  private final Connection connection;
  private final Map<String, Long> words;
  private long lastWord;
  private final Chain chain = new Chain();
  private final PreparedStatement insertWord;
  private final PreparedStatement insertEntry;
  private final PreparedStatement insertOutbox;
  private final PreparedStatement putTopic;
  private final PreparedStatement deleteOutbox;
  private final PreparedStatement insertAside;
  private final PreparedStatement insertText;
  private final PreparedStatement putSnapshot;

  private Writer(Connection connection) throws SQLException {
    this.connection = connection;
    this.words = Tables.words(connection);
    this.lastWord = words.values().stream().mapToLong(Long::longValue).max().orElse(0);
    this.insertWord = prepare("INSERT INTO word(id, text) VALUES(?, ?)");
    this.insertEntry =
        prepare(
            "INSERT INTO journal(seq, cause, at, kind, topic, prev, rules, body, hash)"
                + " VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?)");
    this.insertOutbox = prepare("INSERT INTO outbox(seq) VALUES(?)");
    this.putTopic =
        prepare(
            "INSERT INTO topic(word, last) VALUES(?, ?)"
                + " ON CONFLICT(word) DO UPDATE SET last=excluded.last");
    this.deleteOutbox = prepare("DELETE FROM outbox WHERE seq=?");
    this.insertAside =
        prepare("INSERT INTO aside(seq, at, why) VALUES(?, ?, ?) ON CONFLICT(seq) DO NOTHING");
    this.insertText =
        prepare("INSERT INTO text(name, body, hash) VALUES(?, ?, ?) ON CONFLICT(name) DO NOTHING");
    this.putSnapshot =
        prepare(
            "INSERT OR REPLACE INTO snapshot(seq, needed, layout, chain, body, hash)"
                + " VALUES(?, ?, ?, ?, ?, ?)");
    connection.commit();
  }

  static Writer open(Connector connector) throws SQLException {
    Connection connection = connector.writer();
    try {
      return new Writer(connection);
    } catch (SQLException e) {
      Closing.after(e, connection);
      throw e;
    }
  }

  Connection connection() {
    return connection;
  }

  /**
   * Writes a batch in one transaction and syncs it.
   *
   * @param links the chain's hashes for the entries
   * @return what it did to the outbox
   */
  Written write(Batch batch, List<byte[]> links, Instant now) throws SQLException {
    Map<String, Long> lastOfTopic = new HashMap<>();
    for (int i = 0; i < batch.entries().size(); i++) {
      Entry entry = batch.entries().get(i);
      insert(entry, links.get(i));
      entry.topic().ifPresent(topic -> lastOfTopic.put(topic, entry.seq()));
    }
    for (Map.Entry<String, Long> last : lastOfTopic.entrySet()) {
      putTopic.setLong(1, word(last.getKey()));
      putTopic.setLong(2, last.getValue());
      putTopic.executeUpdate();
    }
    for (Request.KeepText text : batch.texts()) {
      keep(text);
    }
    for (Request.KeepSnapshot snapshot : batch.snapshots()) {
      keep(snapshot);
    }
    if (batch.adopted()) {
      Adoption.done(connection);
    }
    int acknowledged = 0;
    int refused = 0;
    for (BrokerAnswer answer : batch.answers()) {
      if (settle(answer, now)) {
        acknowledged += answer.refusal().isEmpty() ? 1 : 0;
        refused += answer.refusal().isPresent() ? 1 : 0;
      }
    }
    // After what was answered is out of the outbox.
    int added = 0;
    for (Request.SendAgain again : batch.again()) {
      added += sendAgain(again);
    }
    Optional<Instant> oldest = Tables.outboxOldest(connection);
    connection.commit();
    added += (int) batch.entries().stream().filter(e -> e.topic().isPresent()).count();
    return new Written(added, acknowledged, refused, oldest);
  }

  /** Notes that everything up to a seq was written and the writer is about to stop. */
  void markCleanStop(long lastSeq) throws SQLException {
    putMeta(Tables.CLEAN_STOP, Long.toString(lastSeq));
    connection.commit();
  }

  /**
   * Notes that the file was opened for writing, and takes the note of a clean stop away. It is also
   * the proof that the disk takes a transaction when there is nothing else to write.
   */
  void noteOpening(Instant now) throws SQLException {
    try (PreparedStatement delete = connection.prepareStatement("DELETE FROM meta WHERE name=?")) {
      delete.setString(1, Tables.CLEAN_STOP);
      delete.executeUpdate();
    }
    putMeta(Tables.OPENED, now.toString());
    connection.commit();
  }

  /**
   * Moves all of the write-ahead log into the file, syncs the file, and empties the log.
   *
   * @param patience how long readers may be in the way
   * @return false when they were for longer
   */
  boolean emptyLog(Duration patience) throws SQLException {
    connection.setAutoCommit(true);
    boolean emptied;
    try (Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA busy_timeout=" + patience.toMillis());
      try (ResultSet row = statement.executeQuery("PRAGMA wal_checkpoint(TRUNCATE)")) {
        emptied = row.next() && row.getInt(1) == 0;
      }
      statement.execute("PRAGMA busy_timeout=" + SqliteFile.BUSY_MILLIS);
    }
    connection.setAutoCommit(false);
    return emptied;
  }

  @Override
  public void close() throws SQLException {
    connection.close();
  }

  private void putMeta(String name, String value) throws SQLException {
    try (PreparedStatement put =
        connection.prepareStatement("INSERT OR REPLACE INTO meta(name, value) VALUES(?, ?)")) {
      put.setString(1, name);
      put.setString(2, value);
      put.executeUpdate();
    }
  }

  private void insert(Entry entry, byte[] link) throws SQLException {
    insertEntry.setLong(1, entry.seq());
    insertEntry.setLong(2, entry.cause());
    insertEntry.setLong(3, entry.at().toEpochMilli());
    insertEntry.setLong(4, word(entry.kind()));
    Optional<String> topic = entry.topic();
    if (topic.isPresent()) {
      insertEntry.setLong(5, word(topic.get()));
    } else {
      insertEntry.setNull(5, Types.INTEGER);
    }
    insertEntry.setLong(6, entry.prev());
    insertEntry.setLong(7, word(entry.rules()));
    insertEntry.setString(8, entry.body());
    insertEntry.setBytes(9, link);
    insertEntry.executeUpdate();
    if (topic.isPresent()) {
      insertOutbox.setLong(1, entry.seq());
      insertOutbox.executeUpdate();
    }
  }

  private long word(String text) throws SQLException {
    Long known = words.get(text);
    if (known != null) {
      return known;
    }
    long id = ++lastWord;
    insertWord.setLong(1, id);
    insertWord.setString(2, text);
    insertWord.executeUpdate();
    words.put(text, id);
    return id;
  }

  private void keep(Request.KeepText text) throws SQLException {
    insertText.setString(1, text.name());
    insertText.setString(2, text.body());
    insertText.setBytes(3, chain.ofText(text.body()));
    insertText.executeUpdate();
  }

  private void keep(Request.KeepSnapshot snapshot) throws SQLException {
    String body;
    try {
      body = snapshot.body().get();
    } catch (RuntimeException e) {
      // Without it a start takes longer and is right all the same.
      LOG.error("no snapshot at entry {}, by a mistake of ours", snapshot.seq(), e);
      return;
    }
    putSnapshot.setLong(1, snapshot.seq());
    putSnapshot.setLong(2, snapshot.needed());
    putSnapshot.setString(3, snapshot.layout());
    putSnapshot.setBytes(4, Tables.hashOf(connection, snapshot.seq()));
    putSnapshot.setString(5, body);
    putSnapshot.setBytes(6, chain.ofText(body));
    putSnapshot.executeUpdate();
    try (Statement statement = connection.createStatement()) {
      statement.executeUpdate(
          "DELETE FROM snapshot WHERE seq NOT IN"
              + " (SELECT seq FROM snapshot ORDER BY seq DESC LIMIT "
              + SNAPSHOTS_KEPT
              + ")");
    }
  }

  /** What is kept, has a topic and was not refused goes into the outbox once more. */
  private int sendAgain(Request.SendAgain again) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT OR IGNORE INTO outbox(seq) SELECT seq FROM journal"
                + " WHERE seq BETWEEN ? AND ? AND topic IS NOT NULL"
                + " AND seq NOT IN (SELECT seq FROM aside)")) {
      insert.setLong(1, again.from());
      insert.setLong(2, again.to());
      return insert.executeUpdate();
    }
  }

  private boolean settle(BrokerAnswer answer, Instant now) throws SQLException {
    deleteOutbox.setLong(1, answer.seq());
    boolean waited = deleteOutbox.executeUpdate() > 0;
    if (waited && answer.refusal().isPresent()) {
      insertAside.setLong(1, answer.seq());
      insertAside.setLong(2, now.toEpochMilli());
      insertAside.setString(3, answer.refusal().get());
      insertAside.executeUpdate();
    }
    return waited;
  }

  private PreparedStatement prepare(String sql) throws SQLException {
    return connection.prepareStatement(sql);
  }
}

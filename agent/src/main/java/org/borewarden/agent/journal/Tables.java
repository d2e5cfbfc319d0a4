package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/** Small reads of the journal's tables. */
final class Tables {
  static final String ID = "id";
  static final String CREATED = "created";
  static final String APP_VERSION = "app_version";
  static final String OPENED = "opened";
  static final String CLEAN_STOP = "clean_stop";

  private Tables() {}

  static Optional<String> meta(Connection connection, String name) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT value FROM meta WHERE name=?")) {
      select.setString(1, name);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? Optional.ofNullable(row.getString(1)) : Optional.empty();
      }
    }
  }

  static void putMeta(Connection connection, String name, String value) throws SQLException {
    try (PreparedStatement put =
        connection.prepareStatement("INSERT OR REPLACE INTO meta(name, value) VALUES(?, ?)")) {
      put.setString(1, name);
      put.setString(2, value);
      put.executeUpdate();
    }
  }

  /** The id under which entries are told now: of the last era, or the first one. */
  static String journalId(Connection connection) throws SQLException {
    if (Schema.version(connection) >= Schema.WITH_ERAS) {
      try (Statement statement = connection.createStatement();
          ResultSet row =
              statement.executeQuery("SELECT id FROM era ORDER BY first DESC LIMIT 1")) {
        if (row.next()) {
          return row.getString(1);
        }
      }
    }
    return firstId(connection);
  }

  /** The id with which the journal was begun, on which the chain hangs. */
  static String firstId(Connection connection) throws SQLException {
    return meta(connection, ID).orElseThrow(() -> new SQLException("the journal has no id"));
  }

  static long lastSeq(Connection connection) throws SQLException {
    return number(connection, "SELECT coalesce(max(seq),0) FROM journal");
  }

  /**
   * Where the kept entries begin: the last retired entry and its hash, on which the chain hangs.
   *
   * @param seq the last retired entry
   * @param hash its hash
   */
  @SuppressWarnings("ArrayRecordComponent") // handed on, never compared
  record Anchor(long seq, byte[] hash) {}

  /** The anchor; empty while nothing is retired. */
  static Optional<Anchor> anchor(Connection connection) throws SQLException {
    if (Schema.version(connection) < Schema.WITH_ANCHOR) {
      return Optional.empty();
    }
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery("SELECT seq, hash FROM anchor ORDER BY seq DESC LIMIT 1")) {
      if (!row.next()) {
        return Optional.empty();
      }
      byte[] hash = row.getBytes(2);
      if (hash == null) {
        throw new Rows.DamagedRowException(row.getLong(1), "the anchor's hash is missing");
      }
      return Optional.of(new Anchor(row.getLong(1), hash));
    }
  }

  /** The stored hash of an entry, which must be there. */
  static byte[] hashOf(Connection connection, long seq) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT hash FROM journal WHERE seq=?")) {
      select.setLong(1, seq);
      try (ResultSet row = select.executeQuery()) {
        byte[] hash = row.next() ? row.getBytes(1) : null;
        if (hash == null) {
          throw new Rows.DamagedRowException(seq, "it is missing");
        }
        return hash;
      }
    }
  }

  static long outboxRows(Connection connection) throws SQLException {
    return number(connection, "SELECT count(*) FROM outbox");
  }

  static long asideRows(Connection connection) throws SQLException {
    return number(connection, "SELECT count(*) FROM aside");
  }

  static Optional<Instant> outboxOldest(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT at FROM journal WHERE seq=(SELECT min(seq) FROM outbox)")) {
      return row.next() ? Optional.of(Instant.ofEpochMilli(row.getLong(1))) : Optional.empty();
    }
  }

  static Map<String, Long> lastSeqPerTopic(Connection connection) throws SQLException {
    return map(connection, "SELECT w.text, t.last FROM topic t JOIN word w ON w.id=t.word");
  }

  static long lastOn(Connection connection, String topic) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT t.last FROM topic t JOIN word w ON w.id=t.word WHERE w.text=?")) {
      select.setString(1, topic);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? row.getLong(1) : 0;
      }
    }
  }

  static Map<String, Long> words(Connection connection) throws SQLException {
    return map(connection, "SELECT text, id FROM word");
  }

  private static Map<String, Long> map(Connection connection, String query) throws SQLException {
    Map<String, Long> map = new HashMap<>();
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      while (row.next()) {
        map.put(row.getString(1), row.getLong(2));
      }
    }
    return map;
  }

  static long number(Connection connection, String query) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      return row.next() ? row.getLong(1) : 0;
    }
  }

  /**
   * A read of something that may be damaged.
   *
   * @param <T> what is read
   */
  interface Query<T> {
    /** Reads it. */
    T read() throws SQLException;
  }

  /** What can be read; empty where the damage keeps it from being read. */
  static <T> Optional<T> tolerant(Query<T> query) {
    try {
      return Optional.of(query.read());
    } catch (SQLException damaged) {
      return Optional.empty();
    }
  }
}

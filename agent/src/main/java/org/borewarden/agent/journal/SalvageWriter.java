package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.sql.Types;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/** Writes the copy of a salvaged journal. One thread. */
final class SalvageWriter {
  private final Connection to;
  private final Chain chain = new Chain();
  private final Map<String, Long> words = new HashMap<>();
  private final PreparedStatement insertWord;
  private final PreparedStatement insertEntry;
  private final PreparedStatement insertOutbox;

  SalvageWriter(Connection to) throws SQLException {
    this.to = to;
    this.insertWord = to.prepareStatement("INSERT INTO word(id, text) VALUES(?, ?)");
    this.insertEntry =
        to.prepareStatement(
            "INSERT INTO journal(seq, cause, at, kind, topic, prev, rules, body, hash)"
                + " VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?)");
    this.insertOutbox = to.prepareStatement("INSERT INTO outbox(seq) VALUES(?)");
  }

  void anchor(Tables.Anchor anchor) throws SQLException {
    try (PreparedStatement insert =
        to.prepareStatement("INSERT INTO anchor(seq, hash, at) VALUES(?, ?, 0)")) {
      insert.setLong(1, anchor.seq());
      insert.setBytes(2, anchor.hash());
      insert.executeUpdate();
    }
  }

  void entry(Entry entry, byte[] hash, boolean unsent) throws SQLException {
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
    insertEntry.setBytes(9, hash);
    insertEntry.executeUpdate();
    if (unsent) {
      insertOutbox.setLong(1, entry.seq());
      insertOutbox.executeUpdate();
    }
  }

  /** Says of each topic which entry is its last. */
  void topics() throws SQLException {
    try (Statement statement = to.createStatement()) {
      statement.executeUpdate(
          "INSERT INTO topic(word, last) SELECT topic, max(seq) FROM journal"
              + " WHERE topic IS NOT NULL GROUP BY topic");
    }
  }

  /** Copies the texts that are what was put, as far as their table can be read. */
  void texts(Connection from) throws SQLException {
    Map<String, String> good = new HashMap<>();
    try (Statement statement = from.createStatement();
        ResultSet row = statement.executeQuery("SELECT name, body, hash FROM text")) {
      while (row.next()) {
        String name = row.getString(1);
        String body = row.getString(2);
        if (name != null && body != null && Arrays.equals(chain.ofText(body), row.getBytes(3))) {
          good.put(name, body);
        }
      }
    } catch (SQLException damaged) {
      // What was read so far is good; the rest is not to be had.
      good.remove("");
    }
    try (PreparedStatement insert =
        to.prepareStatement("INSERT INTO text(name, body, hash) VALUES(?, ?, ?)")) {
      for (Map.Entry<String, String> text : good.entrySet()) {
        insert.setString(1, text.getKey());
        insert.setString(2, text.getValue());
        insert.setBytes(3, chain.ofText(text.getValue()));
        insert.executeUpdate();
      }
    }
  }

  private long word(String text) throws SQLException {
    Long known = words.get(text);
    if (known != null) {
      return known;
    }
    long id = words.size() + 1L;
    insertWord.setLong(1, id);
    insertWord.setString(2, text);
    insertWord.executeUpdate();
    words.put(text, id);
    return id;
  }
}

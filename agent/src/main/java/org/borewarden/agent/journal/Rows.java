package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.sqlite.SQLiteErrorCode;

/** Turns rows of the journal into entries. */
final class Rows {
  static final String COLUMNS =
      "SELECT j.seq, j.cause, j.at, j.prev, j.topic, k.text, t.text, r.text, j.body, j.hash";
  static final String WORDS =
      " LEFT JOIN word k ON k.id=j.kind LEFT JOIN word t ON t.id=j.topic"
          + " LEFT JOIN word r ON r.id=j.rules";

  /** Entries from a seq on; parameters: the seq, the most rows. */
  static final String FROM_SEQ =
      COLUMNS + " FROM journal j" + WORDS + " WHERE j.seq>=? ORDER BY j.seq LIMIT ?";

  /** Entries that wait in the outbox; parameters: the seq before, the most rows. */
  static final String WAITING =
      COLUMNS
          + " FROM outbox o JOIN journal j ON j.seq=o.seq"
          + WORDS
          + " WHERE o.seq>? ORDER BY o.seq LIMIT ?";

  private Rows() {}

  static List<Entry> entries(Connection connection, String query, long seq, int max)
      throws SQLException {
    try (PreparedStatement select = connection.prepareStatement(query)) {
      select.setLong(1, seq);
      select.setInt(2, max);
      List<Entry> entries = new ArrayList<>();
      try (ResultSet rows = select.executeQuery()) {
        while (rows.next()) {
          entries.add(entry(rows));
        }
      }
      return entries;
    }
  }

  static Entry entry(ResultSet row) throws SQLException {
    long seq = row.getLong(1);
    Optional<String> topic = Optional.empty();
    row.getLong(5);
    if (!row.wasNull()) {
      topic = Optional.of(text(row, 7, seq, "topic"));
    }
    return new Entry(
        seq,
        row.getLong(2),
        Instant.ofEpochMilli(row.getLong(3)),
        text(row, 6, seq, "kind"),
        topic,
        row.getLong(4),
        text(row, 8, seq, "rules revision"),
        text(row, 9, seq, "body"));
  }

  static byte[] hash(ResultSet row) throws SQLException {
    byte[] hash = row.getBytes(10);
    if (hash == null) {
      throw new DamagedRowException(row.getLong(1), "its hash is missing");
    }
    return hash;
  }

  private static String text(ResultSet row, int column, long seq, String what) throws SQLException {
    String text = row.getString(column);
    if (text == null) {
      throw new DamagedRowException(seq, "its " + what + " is missing");
    }
    return text;
  }

  /** Says that one entry is damaged, while others may be read. */
  static final class DamagedRowException extends SQLException {
    private static final long serialVersionUID = 1L;

    DamagedRowException(long seq, String what) {
      super("entry " + seq + ": " + what, null, SQLiteErrorCode.SQLITE_CORRUPT.code);
    }
  }
}

package org.borewarden.agent.journal;

import com.fasterxml.uuid.Generators;
import java.io.IOException;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.Optional;
import java.util.TreeMap;

/**
 * Notices that a journal does not lie where it lay when it was last written. Whether the original
 * is still in use elsewhere cannot be known: so the journal goes on under a new id at once, and a
 * person is asked before any permit is given.
 */
final class Adoption {
  private static final String PLACE = "place";
  private static final String WANTED = "adoption_wanted";

  /** What a restored file bears until its first start. */
  static final String RESTORED = "restored";

  private Adoption() {}

  /**
   * Compares a sound journal's place with where it was, and begins an era where they differ.
   *
   * @return why a person must adopt it; empty when it is where it was, or was adopted
   */
  static Optional<String> look(
      Connection connection, JournalFolder folder, long lastSeq, Instant now)
      throws IOException, SQLException {
    String here = folder.place();
    Beginning.noteId(connection);
    Optional<String> before = Tables.meta(connection, PLACE);
    if (before.isEmpty()) {
      Tables.putMeta(connection, PLACE, here);
    } else if (!before.get().equals(here)) {
      String why =
          before.get().equals(RESTORED)
              ? "it was restored from a back-up"
              : "it was copied, restored or moved, or the machine was cloned";
      beginEra(connection, lastSeq + 1, why, now);
      Tables.putMeta(connection, PLACE, here);
      Tables.putMeta(connection, WANTED, why);
    }
    Optional<String> wanted = Tables.meta(connection, WANTED);
    connection.commit();
    return wanted;
  }

  /** A person has adopted the journal. */
  static void done(Connection connection) throws SQLException {
    try (PreparedStatement delete = connection.prepareStatement("DELETE FROM meta WHERE name=?")) {
      delete.setString(1, WANTED);
      delete.executeUpdate();
    }
  }

  /** Makes the next start of a restored file an adoption, wherever it lies. */
  static void markRestored(Connection connection) throws SQLException {
    Tables.putMeta(connection, PLACE, RESTORED);
    connection.commit();
  }

  static JournalIds ids(Connection connection) throws SQLException {
    TreeMap<Long, String> ids = new TreeMap<>();
    ids.put(0L, Tables.firstId(connection));
    if (Schema.version(connection) >= Schema.WITH_ERAS) {
      try (Statement statement = connection.createStatement();
          ResultSet row = statement.executeQuery("SELECT first, id FROM era ORDER BY first")) {
        while (row.next()) {
          ids.put(row.getLong(1), row.getString(2));
        }
      }
    }
    return new JournalIds(ids);
  }

  private static void beginEra(Connection connection, long first, String why, Instant now)
      throws SQLException {
    String id = Generators.timeBasedEpochGenerator().generate().toString();
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT OR REPLACE INTO era(first, id, at, why, hash) VALUES(?, ?, ?, ?, ?)")) {
      insert.setLong(1, first);
      insert.setString(2, id);
      insert.setLong(3, now.toEpochMilli());
      insert.setString(4, why);
      insert.setBytes(5, Beginning.hashOfEra(first, id));
      insert.executeUpdate();
    }
  }
}

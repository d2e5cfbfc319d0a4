package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Optional;

/**
 * Where the kept entries begin, and by which ids they go. The chain says nothing of the seq of the
 * anchor, and of the ids only while the first entry is kept.
 */
final class Beginning {
  /** The hash of the first id; journals that were begun before there was one have none. */
  private static final String ID_HASH = "id_hash";

  private Beginning() {}

  /**
   * What does not fit.
   *
   * @return in words; empty when all fits
   */
  static Optional<String> unlike(Connection connection) throws SQLException {
    long retired = Tables.anchor(connection).map(Tables.Anchor::seq).orElse(0L);
    Optional<Long> first = first(connection);
    if (first.orElse(1L) != retired + 1) {
      return Optional.of(
          "entries up to "
              + retired
              + " are retired, and the first one that is there is "
              + first.map(String::valueOf).orElse("none"));
    }
    Optional<String> told = Tables.meta(connection, ID_HASH);
    if (told.isPresent() && !told.get().equals(hashOf(Tables.firstId(connection)))) {
      return Optional.of("its id is not the one with which it was begun");
    }
    return unlikeEra(connection);
  }

  private static Optional<Long> first(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("SELECT seq FROM journal ORDER BY seq LIMIT 1")) {
      return row.next() ? Optional.of(row.getLong(1)) : Optional.empty();
    }
  }

  private static Optional<String> unlikeEra(Connection connection) throws SQLException {
    if (Schema.version(connection) < Schema.WITH_ERAS) {
      return Optional.empty();
    }
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("SELECT first, id, hash FROM era ORDER BY first")) {
      while (row.next()) {
        if (!Arrays.equals(hashOfEra(row.getLong(1), row.getString(2)), row.getBytes(3))) {
          return Optional.of(
              "its id from entry " + row.getLong(1) + " on is not the one that was given");
        }
      }
    }
    return Optional.empty();
  }

  static byte[] hashOfEra(long first, String id) {
    return new Chain().ofText(first + " " + id);
  }

  /** Notes the hash of the first id, once; the caller commits. */
  static void noteId(Connection connection) throws SQLException {
    if (Tables.meta(connection, ID_HASH).isEmpty()) {
      Tables.putMeta(connection, ID_HASH, hashOf(Tables.firstId(connection)));
    }
  }

  private static String hashOf(String id) {
    return HexFormat.of().formatHex(new Chain().ofText(id));
  }
}

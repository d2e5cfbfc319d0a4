package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Map;
import java.util.Optional;

/**
 * Holds what the small tables say of the entries against the entries. Their rows have no hash of
 * their own: a flipped bit in a topic's last seq would give the next record a wrong {@code prev},
 * one in the outbox would keep a record from being sent.
 *
 * <p>Not seen: a row of the outbox that names another entry that could wait there as well.
 */
final class Bookkeeping {
  private static final String NOT_OF_ITS_TOPIC =
      "SELECT t.last FROM topic t LEFT JOIN journal j ON j.seq=t.last"
          + " WHERE (t.last<1 OR t.last>?) AND j.topic IS NOT t.word LIMIT 1";

  private static final String NOTHING_TO_SEND =
      "SELECT o.seq FROM outbox o LEFT JOIN journal j ON j.seq=o.seq"
          + " WHERE (o.seq<=? OR o.seq>?) AND j.topic IS NULL LIMIT 1";

  /** A word that is not stored as a text is not found by its text. */
  private static final String NO_TEXT = "SELECT id FROM word WHERE typeof(text)<>'text' LIMIT 1";

  private Bookkeeping() {}

  /**
   * What does not fit.
   *
   * @param walk the walk over the last entries
   * @param tail of so many of them the outbox is looked at
   * @return in words; empty when all fits
   */
  static Optional<String> unlike(Connection connection, ChainWalk walk, long tail)
      throws SQLException {
    long retired = Tables.anchor(connection).map(Tables.Anchor::seq).orElse(0L);
    Optional<Long> stray = first(connection, NOT_OF_ITS_TOPIC, retired);
    if (stray.isPresent()) {
      return Optional.of(
          "a topic's last entry is told as " + stray.get() + ", which is none of it");
    }
    Map<String, Long> told = Tables.lastSeqPerTopic(connection);
    for (Map.Entry<String, Long> seen : walk.lastOfTopic().entrySet()) {
      if (!seen.getValue().equals(told.get(seen.getKey()))) {
        return Optional.of(
            "the last entry on "
                + seen.getKey()
                + " is "
                + seen.getValue()
                + " and is told as "
                + told.get(seen.getKey()));
      }
    }
    Optional<Long> word = first(connection, NO_TEXT);
    if (word.isPresent()) {
      return Optional.of("word " + word.get() + " is not stored as a text");
    }
    long before = Math.max(retired, walk.lastSeq() - tail);
    return first(connection, NOTHING_TO_SEND, retired, before)
        .map(seq -> "entry " + seq + " waits to be sent, and there is nothing to send");
  }

  private static Optional<Long> first(Connection connection, String query, long... parameters)
      throws SQLException {
    try (PreparedStatement select = connection.prepareStatement(query)) {
      for (int i = 0; i < parameters.length; i++) {
        select.setLong(i + 1, parameters[i]);
      }
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? Optional.of(row.getLong(1)) : Optional.empty();
      }
    }
  }
}

package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.journal.VerifyReport.Broken;

/**
 * Follows the chain of hashes and counts the links that do not hold. Each link is tried against the
 * stored hash before it, so that one changed entry gives one broken link and does not spoil the
 * count of the rest. One walk each.
 */
final class ChainWalk {
  /** Short transactions: a long read keeps the write-ahead log from being emptied. */
  private static final int PAGE_ROWS = 2_000;

  private final Connection connection;
  private final Chain chain = new Chain();
  private final Map<String, Long> lastOfTopic = new HashMap<>();
  private final boolean fromTheFirst;
  private final long anchorSeq;

  private byte[] hash;
  private long firstSeq;
  private long lastSeq;
  private long entries;
  private long brokenLinks;
  private Optional<Broken> first = Optional.empty();

  private ChainWalk(Connection connection, long lastSeq, byte[] hash, boolean fromTheFirst) {
    this.connection = connection;
    this.fromTheFirst = fromTheFirst;
    this.anchorSeq = lastSeq;
    this.lastSeq = lastSeq;
    this.hash = hash;
  }

  /** A walk from the first entry that is kept, which hangs on the anchor or on the first id. */
  static ChainWalk whole(Connection connection) throws SQLException {
    Optional<Tables.Anchor> anchor = Tables.anchor(connection);
    return anchor.isPresent()
        ? new ChainWalk(connection, anchor.get().seq(), anchor.get().hash(), true)
        : new ChainWalk(connection, 0, new Chain().genesis(Tables.firstId(connection)), true);
  }

  /** A walk over the last entries. */
  static ChainWalk tail(Connection connection, long rows) throws SQLException {
    long before = Tables.lastSeq(connection) - rows;
    long retired = Tables.anchor(connection).map(Tables.Anchor::seq).orElse(0L);
    return before <= retired
        ? whole(connection)
        : new ChainWalk(connection, before, Tables.hashOf(connection, before), false);
  }

  ChainWalk run() throws SQLException {
    while (page() == PAGE_ROWS) {
      // The next page begins after the last entry seen.
    }
    return this;
  }

  long entries() {
    return entries;
  }

  /** The first seq seen; behind the last one where there was none. */
  long firstSeq() {
    return entries == 0 ? lastSeq + 1 : firstSeq;
  }

  long lastSeq() {
    return lastSeq;
  }

  byte[] lastHash() {
    return hash;
  }

  /** The last seq that was seen on each topic. */
  Map<String, Long> lastOfTopic() {
    return Map.copyOf(lastOfTopic);
  }

  long brokenLinks() {
    return brokenLinks;
  }

  Optional<Broken> first() {
    return first;
  }

  private int page() throws SQLException {
    int rows = 0;
    try (PreparedStatement select = connection.prepareStatement(Rows.FROM_SEQ)) {
      select.setLong(1, lastSeq + 1);
      select.setInt(2, PAGE_ROWS);
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          follow(row);
          rows++;
        }
      }
    }
    return rows;
  }

  private void follow(ResultSet row) throws SQLException {
    long seq = row.getLong(1);
    firstSeq = entries == 0 ? seq : firstSeq;
    entries++;
    try {
      byte[] stored = Rows.hash(row);
      Entry entry = Rows.entry(row);
      check(entry, stored);
      hash = stored;
    } catch (Rows.DamagedRowException e) {
      broken(seq, String.valueOf(e.getMessage()));
    }
    lastSeq = seq;
  }

  private void check(Entry entry, byte[] stored) {
    long seq = entry.seq();
    if (seq != lastSeq + 1) {
      broken(seq, "expected entry " + (lastSeq + 1) + ", found " + seq);
    } else if (!Arrays.equals(chain.next(hash, entry), stored)) {
      broken(seq, "its hash does not follow from its text and the hash before it");
    }
    entry.topic().ifPresent(topic -> checkTopic(entry, topic));
  }

  private void checkTopic(Entry entry, String topic) {
    long before = lastOfTopic.getOrDefault(topic, 0L);
    boolean retired = before == 0 && entry.prev() <= anchorSeq;
    if (fromTheFirst && entry.prev() != before && !retired && brokenLinks == 0) {
      broken(
          entry.seq(),
          "expected " + before + " as the entry before on " + topic + ", found " + entry.prev());
    }
    lastOfTopic.put(topic, entry.seq());
  }

  private void broken(long seq, String what) {
    brokenLinks++;
    if (first.isEmpty()) {
      first = Optional.of(new Broken(seq, what));
    }
  }
}

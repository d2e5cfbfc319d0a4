package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.List;

/**
 * Compares what a newly opened file holds with what was written to it, where the last transaction
 * may or may not be in it.
 */
final class Reconciliation {
  private Reconciliation() {}

  /**
   * How many of the pending entries are stored.
   *
   * @param durableSeq the highest seq whose sync has succeeded
   * @param durableHash its hash
   * @param links the hashes of the entries after it, which may be stored
   * @throws ForkedException when the file holds less than was synced, or something else
   */
  static int stored(Connection connection, long durableSeq, byte[] durableHash, List<byte[]> links)
      throws SQLException, ForkedException {
    long last = Tables.lastSeq(connection);
    if (last < durableSeq) {
      throw new ForkedException(
          "entries up to " + durableSeq + " were synced, but the file ends at " + last);
    }
    if (last > durableSeq + links.size()) {
      throw new ForkedException(
          "entries up to "
              + (durableSeq + links.size())
              + " were written, but the file ends at "
              + last);
    }
    if (durableSeq > 0) {
      requireSame(connection, durableSeq, durableHash);
    }
    int stored = (int) (last - durableSeq);
    for (int i = 0; i < stored; i++) {
      requireSame(connection, durableSeq + 1 + i, links.get(i));
    }
    return stored;
  }

  private static void requireSame(Connection connection, long seq, byte[] expected)
      throws SQLException, ForkedException {
    if (!Arrays.equals(Tables.hashOf(connection, seq), expected)) {
      throw new ForkedException("entry " + seq + " in the file is not the one that was written");
    }
  }
}

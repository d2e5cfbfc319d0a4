package org.borewarden.agent.journal;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Reads the journal on a connection of its own; each call is one short transaction. After a failed
 * call the next one opens the file anew.
 */
public final class JournalReader implements JournalView {
  private static final int MOST_ENTRIES = 10_000;

  private final ReadConnection connection;
  private final String journalId;
  private long lastSeq;

  private JournalReader(ReadConnection connection, String journalId, long lastSeq) {
    this.connection = connection;
    this.journalId = journalId;
    this.lastSeq = lastSeq;
  }

  /**
   * Opens a journal for reading, whether an agent is running or not.
   *
   * @param dataFolder the agent's data folder
   * @return the reader; the caller closes it
   * @throws JournalException when there is no journal, or it cannot be read
   */
  public static JournalReader open(Path dataFolder) throws JournalException {
    return open(new JournalFolder(dataFolder).connector());
  }

  /**
   * Opens a journal that was put away.
   *
   * @param journalFolder the folder that holds it
   * @return the reader; the caller closes it
   * @throws JournalException when there is no journal, or it cannot be read
   */
  public static JournalReader openFolder(Path journalFolder) throws JournalException {
    return open(JournalFolder.connector(journalFolder));
  }

  private static JournalReader open(Connector connector) throws JournalException {
    return open(new ReadConnection(connector));
  }

  static JournalReader open(ReadConnection connection) throws JournalException {
    String id = connection.read("the id", Tables::journalId);
    return new JournalReader(connection, id, connection.read("the last seq", Tables::lastSeq));
  }

  @Override
  public String journalId() {
    return journalId;
  }

  /**
   * {@inheritDoc} While the file cannot be read it is the last one that could be.
   *
   * @return the highest seq stored
   */
  @Override
  public long lastSeq() {
    try {
      lastSeq = connection.read("the last seq", Tables::lastSeq);
    } catch (JournalException e) {
      return lastSeq;
    }
    return lastSeq;
  }

  @Override
  public List<Entry> read(long fromSeq, int max) throws JournalException {
    if (max < 1 || max > MOST_ENTRIES) {
      throw new IllegalArgumentException("expected 1 to " + MOST_ENTRIES + ", found " + max);
    }
    return connection.read(
        "entries from " + fromSeq, open -> Rows.entries(open, Rows.FROM_SEQ, fromSeq, max));
  }

  @Override
  public Map<String, Long> lastSeqPerTopic() throws JournalException {
    return connection.read("the last seq of each topic", Tables::lastSeqPerTopic);
  }

  @Override
  public Optional<String> text(String name) throws JournalException {
    return connection.read("the text " + name, open -> text(open, name));
  }

  @Override
  public long firstSeq() throws JournalException {
    return connection.read(
        "the first seq", open -> Tables.anchor(open).map(anchor -> anchor.seq() + 1).orElse(1L));
  }

  @Override
  public List<Snapshot> snapshots() throws JournalException {
    return connection.read("the snapshots", JournalReader::snapshots);
  }

  @Override
  public void close() {
    connection.close();
  }

  private static Optional<String> text(Connection open, String name) throws SQLException {
    try (PreparedStatement select =
        open.prepareStatement("SELECT body, hash FROM text WHERE name=?")) {
      select.setString(1, name);
      try (ResultSet row = select.executeQuery()) {
        if (!row.next()) {
          return Optional.empty();
        }
        if (!hashFits(row.getString(1), row.getBytes(2))) {
          throw new SQLException("it is not what was put there: its hash does not fit");
        }
        return Optional.of(row.getString(1));
      }
    }
  }

  private static List<Snapshot> snapshots(Connection open) throws SQLException {
    if (Schema.version(open) < Schema.WITH_SNAPSHOTS) {
      return List.of();
    }
    List<Snapshot> good = new ArrayList<>();
    try (Statement statement = open.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT s.seq, s.layout, s.body, s.hash, s.chain, j.hash FROM snapshot s"
                    + " LEFT JOIN journal j ON j.seq=s.seq ORDER BY s.seq DESC")) {
      while (row.next()) {
        byte[] link = row.getBytes(5);
        boolean ofThisChain = link != null && Arrays.equals(link, row.getBytes(6));
        String layout = row.getString(2);
        String body = row.getString(3);
        if (ofThisChain && layout != null && hashFits(body, row.getBytes(4))) {
          good.add(new Snapshot(row.getLong(1), layout, body));
        }
      }
    }
    return good;
  }

  /** Of a damaged row any value may be missing. */
  private static boolean hashFits(@Nullable String body, byte @Nullable [] hash) {
    return body != null && Arrays.equals(new Chain().ofText(body), hash);
  }
}

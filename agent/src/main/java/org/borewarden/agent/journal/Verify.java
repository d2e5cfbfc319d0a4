package org.borewarden.agent.journal;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import org.borewarden.agent.journal.VerifyReport.Broken;

/** Walks a whole journal and says where its chain of hashes first does not hold. */
public final class Verify {
  private Verify() {}

  /**
   * Walks the journal of a data folder; the agent may be running.
   *
   * @param dataFolder the agent's data folder
   * @return what was found
   * @throws JournalException when it cannot be opened or is no journal
   */
  public static VerifyReport dataFolder(Path dataFolder) throws JournalException {
    return walk(new JournalFolder(dataFolder).connector(), dataFolder);
  }

  /**
   * Walks a journal that was put away.
   *
   * @param journalFolder the folder that holds it
   * @return what was found
   * @throws JournalException when it cannot be opened or is no journal
   */
  public static VerifyReport journalFolder(Path journalFolder) throws JournalException {
    return walk(JournalFolder.connector(journalFolder), journalFolder);
  }

  private static VerifyReport walk(Connector connector, Path folder) throws JournalException {
    try (Connection connection = connector.reader()) {
      return walk(connection);
    } catch (SQLException e) {
      throw new JournalException("cannot verify the journal in " + folder + ": " + e, e);
    }
  }

  private static VerifyReport walk(Connection connection) throws SQLException {
    String id = Tables.journalId(connection);
    ChainWalk walk = ChainWalk.whole(connection);
    try {
      walk.run();
      Optional<String> begins = Beginning.unlike(connection);
      if (walk.first().isEmpty() && begins.isPresent()) {
        return report(
            id,
            walk,
            1,
            new Broken(walk.lastSeq() - walk.entries() + 1, begins.get()),
            Tables.outboxRows(connection),
            Tables.asideRows(connection));
      }
    } catch (SQLException e) {
      if (!OpenCheck.isDamage(e)) {
        throw e;
      }
      return report(id, walk, 1, walk.first().orElse(unreadable(walk, e)), 0, 0);
    }
    return new VerifyReport(
        id,
        walk.entries(),
        walk.lastSeq(),
        walk.brokenLinks(),
        walk.first(),
        Tables.outboxRows(connection),
        Tables.asideRows(connection));
  }

  private static Broken unreadable(ChainWalk walk, SQLException e) {
    return new Broken(walk.lastSeq() + 1, "it cannot be read: " + e.getMessage());
  }

  private static VerifyReport report(
      String id, ChainWalk walk, long more, Broken first, long outbox, long aside) {
    return new VerifyReport(
        id,
        walk.entries(),
        walk.lastSeq(),
        walk.brokenLinks() + more,
        Optional.of(first),
        outbox,
        aside);
  }
}

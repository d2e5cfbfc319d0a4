package org.borewarden.agent.journal;

import java.nio.file.Files;
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
    if (!Files.isRegularFile(journalFolder.resolve(JournalFolder.FILE))) {
      throw new JournalException("no journal in " + journalFolder);
    }
    return walk(JournalFolder.connector(journalFolder), journalFolder);
  }

  private static VerifyReport walk(Connector connector, Path folder) throws JournalException {
    try (Connection connection = connector.reader()) {
      return walk(connection);
    } catch (SQLException e) {
      String hint =
          OpenCheck.isDamage(e) ? "; borewarden salvage copies what can still be read" : "";
      throw new JournalException(
          "cannot verify the journal in " + folder + ": " + e.getMessage() + hint, e);
    }
  }

  private static VerifyReport walk(Connection connection) throws SQLException {
    String id = Tables.journalId(connection);
    ChainWalk walk = ChainWalk.whole(connection);
    try {
      walk.run();
      Optional<Broken> begins =
          Beginning.unlike(connection).map(what -> new Broken(walk.firstSeq(), what));
      return report(
          id,
          walk,
          walk.first().isEmpty() && begins.isPresent() ? 1 : 0,
          walk.first().or(() -> begins),
          Tables.outboxRows(connection),
          Tables.asideRows(connection));
    } catch (SQLException e) {
      if (!OpenCheck.isDamage(e)) {
        throw e;
      }
      return report(id, walk, 1, walk.first().or(() -> Optional.of(unreadable(walk, e))), 0, 0);
    }
  }

  private static Broken unreadable(ChainWalk walk, SQLException e) {
    return new Broken(walk.lastSeq() + 1, "it cannot be read: " + e.getMessage());
  }

  private static VerifyReport report(
      String id, ChainWalk walk, long more, Optional<Broken> first, long outbox, long aside) {
    return new VerifyReport(
        id,
        walk.entries(),
        walk.firstSeq(),
        walk.lastSeq(),
        walk.brokenLinks() + more,
        first,
        outbox,
        aside);
  }
}

package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.time.Instant;
import java.util.Optional;

/** Copies a journal while the agent runs, and puts such a copy in the place of a journal. */
public final class Backup {
  private Backup() {}

  /**
   * Copies a journal as it stands at one moment, syncs the copy and walks its chain. The agent may
   * be running and is not delayed.
   *
   * @param journalFolder the folder of the journal
   * @param copyFolder the folder to make
   * @return what the walk over the copy found
   * @throws JournalException when it cannot be copied; an unfinished copy is left and said
   */
  public static VerifyReport copy(Path journalFolder, Path copyFolder) throws JournalException {
    if (!Files.isRegularFile(journalFolder.resolve(JournalFolder.FILE))) {
      throw new JournalException("no journal in " + journalFolder);
    }
    if (Files.exists(copyFolder)) {
      throw new JournalException(copyFolder + " is there already; it is not overwritten");
    }
    Path copy = copyFolder.resolve(JournalFolder.FILE);
    try {
      JournalFolder.createFolder(copyFolder);
      try (Connection from = JournalFolder.connector(journalFolder).reader();
          PreparedStatement vacuum = from.prepareStatement("VACUUM INTO ?")) {
        vacuum.setString(1, copy.toString());
        vacuum.execute();
      }
      sync(copy);
    } catch (SQLException | IOException e) {
      throw new JournalException(
          "cannot copy the journal in "
              + journalFolder
              + " to "
              + copyFolder
              + ": "
              + e.getMessage(),
          e);
    }
    return Verify.journalFolder(copyFolder);
  }

  /**
   * Puts a copy in the place of the journal, which is put away whole. The agent must not be
   * running. At its next start it goes on under a new id and asks to be adopted.
   *
   * @param dataFolder the agent's data folder
   * @param copyFolder the copy; it is only read
   * @param now for the name of what is put away
   * @return where the journal before it is now, if there was one
   * @throws JournalException when the copy is not whole, the agent is running, or a file cannot be
   *     written; then the journal is what it was
   */
  public static Optional<Path> restore(Path dataFolder, Path copyFolder, Instant now)
      throws JournalException {
    VerifyReport report = Verify.journalFolder(copyFolder);
    if (!report.whole()) {
      throw new JournalException(
          "the copy in "
              + copyFolder
              + " is not whole: "
              + report.first().map(VerifyReport.Broken::what).orElse("")
              + "; nothing was changed");
    }
    JournalFolder folder = new JournalFolder(dataFolder);
    try {
      folder.makeDataFolder();
      FolderLock lock = FolderLock.take(dataFolder);
      try {
        return folder.replace(copyFolder, now);
      } finally {
        lock.release();
      }
    } catch (SQLException | IOException e) {
      throw new JournalException(
          "cannot restore " + copyFolder + " into " + dataFolder + ": " + e.getMessage(), e);
    }
  }

  private static void sync(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }
}

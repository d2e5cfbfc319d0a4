package org.borewarden.agent.journal;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * A damaged journal, to be read. Its first page says how the file is to be read and where its
 * tables begin; where that page is damaged, a copy of the file gets the first page of a new
 * journal, whose tables begin at the same places. A copy of a file that is cut gets its length
 * again: SQLite reads none where a table begins beyond the end. The damaged file is only read.
 */
final class ReadableCopy implements AutoCloseable {
  private static final String AS_NEW = "new";
  private static final String LENGTHENED = "lengthened";
  private static final String MENDED = "mended";
  private static final int PAGE = 4096;

  /** A file is not taken for longer than this, times what is there: the head may be damaged. */
  private static final long MOST_TIMES = 1_000;

  /**
   * The size of the file in pages, and its free pages: SQLite goes by the file where they are 0.
   */
  private static final int PAGES_AT = 28;

  private static final int FREE_AT = 32;
  private static final int FREE_BYTES = 8;

  private final Path readable;

  /** Whether the first page is that of a new journal. */
  private final boolean replaced;

  /** What is deleted at the end. */
  private final Optional<Path> scratch;

  private ReadableCopy(Path readable, boolean replaced, Optional<Path> scratch) {
    this.readable = readable;
    this.replaced = replaced;
    this.scratch = scratch;
  }

  /**
   * Makes one where there is need.
   *
   * @param journalFolder the damaged one
   * @param beside a folder to come, beside which there is space
   */
  static ReadableCopy of(Path journalFolder, Path beside) throws IOException, SQLException {
    Path absolute = beside.toAbsolutePath();
    Path scratch =
        Files.createTempDirectory(absolute.getParent(), absolute.getFileName() + ".reading-");
    ReadableCopy copy = new ReadableCopy(scratch.resolve(MENDED), true, Optional.of(scratch));
    ReadableCopy longer =
        new ReadableCopy(scratch.resolve(LENGTHENED), false, Optional.of(scratch));
    try {
      Path asNew = scratch.resolve(AS_NEW);
      JournalFolder.createEmpty(asNew, "");
      if (!isEarlier(journalFolder) && !schema(journalFolder).equals(schema(asNew))) {
        long told = pagesTold(journalFolder) * PAGE;
        if (told > Files.size(journalFolder.resolve(JournalFolder.FILE))) {
          longer.fill(journalFolder, told, Optional.empty());
          if (!schema(longer.readable).isEmpty() && longer.hasId()) {
            return longer;
          }
          JournalFolder.remove(longer.readable);
        }
        copy.fill(
            journalFolder,
            Files.size(asNew.resolve(JournalFolder.FILE)),
            Optional.of(firstPage(asNew)));
        if (copy.hasId()) {
          return copy;
        }
      }
      copy.close();
      return new ReadableCopy(journalFolder, false, Optional.empty());
    } catch (IOException | SQLException | RuntimeException e) {
      Closing.after(e, copy);
      throw e;
    }
  }

  /** The connections to what can be read. */
  Connector connector() {
    return JournalFolder.connector(readable);
  }

  /** Whether the first page is that of a new journal. */
  boolean isMended() {
    return replaced;
  }

  @Override
  public void close() throws IOException {
    if (scratch.isPresent()) {
      JournalFolder.remove(scratch.get().resolve(AS_NEW));
      JournalFolder.remove(scratch.get().resolve(LENGTHENED));
      JournalFolder.remove(scratch.get().resolve(MENDED));
      Files.deleteIfExists(scratch.get());
    }
  }

  /** SQLite reads no table at all where the first page of one is beyond the end of the file. */
  private void fill(Path journalFolder, long least, Optional<byte[]> firstPage) throws IOException {
    JournalFolder.createFolder(readable);
    for (String name : List.of(JournalFolder.FILE, JournalFolder.FILE + "-wal")) {
      if (Files.exists(journalFolder.resolve(name))) {
        Files.copy(journalFolder.resolve(name), readable.resolve(name));
      }
    }
    try (RandomAccessFile file =
        new RandomAccessFile(readable.resolve(JournalFolder.FILE).toFile(), "rw")) {
      if (firstPage.isPresent()) {
        file.write(firstPage.get());
      }
      file.setLength(Math.max(least, file.length()));
    }
  }

  /** How many pages the file had, as its head says; 0 where it is too short to say so. */
  private static long pagesTold(Path folder) throws IOException {
    try (RandomAccessFile file =
        new RandomAccessFile(folder.resolve(JournalFolder.FILE).toFile(), "r")) {
      if (file.length() < PAGE) {
        return 0;
      }
      file.seek(PAGES_AT);
      return Math.min(Integer.toUnsignedLong(file.readInt()), MOST_TIMES * (file.length() / PAGE));
    }
  }

  private boolean hasId() {
    return Tables.tolerant(
            () -> {
              try (Connection connection = connector().reader()) {
                return Tables.firstId(connection);
              }
            })
        .isPresent();
  }

  private static byte[] firstPage(Path folder) throws IOException {
    byte[] page = new byte[PAGE];
    try (RandomAccessFile file =
        new RandomAccessFile(folder.resolve(JournalFolder.FILE).toFile(), "r")) {
      file.readFully(page);
    }
    ByteBuffer.wrap(page).putInt(PAGES_AT, 0).put(FREE_AT, new byte[FREE_BYTES]);
    return page;
  }

  /** A journal of an earlier layout has its tables elsewhere; it is read as it is. */
  private static boolean isEarlier(Path folder) throws SQLException {
    try (Connection connection = JournalFolder.connector(folder).reader()) {
      return Schema.isOurs(connection)
          && Schema.version(connection) < Schema.VERSION
          && Schema.isWhole(connection);
    } catch (SQLException e) {
      if (!OpenCheck.isDamage(e)) {
        throw e;
      }
      return false;
    }
  }

  /** The tables, each with where it begins; empty where they cannot be read. */
  private static List<String> schema(Path folder) throws SQLException {
    List<String> tables = new ArrayList<>();
    try (Connection connection = JournalFolder.connector(folder).reader();
        Statement statement = connection.createStatement();
        ResultSet row =
            statement.executeQuery(
                "SELECT type, name, tbl_name, rootpage, sql FROM sqlite_master")) {
      tables.add("layout " + Schema.version(connection) + Schema.isOurs(connection));
      while (row.next()) {
        tables.add(
            row.getString(1)
                + row.getString(2)
                + row.getString(3)
                + row.getLong(4)
                + row.getString(5));
      }
    } catch (SQLException e) {
      if (!OpenCheck.isDamage(e)) {
        throw e;
      }
      return List.of();
    }
    return tables;
  }
}

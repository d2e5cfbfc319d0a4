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

/**
 * A damaged journal, to be read. Its first page says how the file is to be read and where its
 * tables begin; where that page is damaged, a copy of the file gets the first page of a new
 * journal, whose tables begin at the same places. The damaged file is only read.
 */
final class ReadableCopy implements AutoCloseable {
  private static final int PAGE = 4096;

  /**
   * The size of the file in pages, and its free pages: SQLite goes by the file where they are 0.
   */
  private static final int PAGES_AT = 28;

  private static final int FREE_AT = 32;
  private static final int FREE_BYTES = 8;

  private final Path readable;
  private final boolean mended;

  private ReadableCopy(Path readable, boolean mended) {
    this.readable = readable;
    this.mended = mended;
  }

  /**
   * Makes one where there is need.
   *
   * @param journalFolder the damaged one
   * @param beside a folder to come, beside which there is space
   */
  static ReadableCopy of(Path journalFolder, Path beside) throws IOException, SQLException {
    Path absolute = beside.toAbsolutePath();
    Path scratch = absolute.resolveSibling(absolute.getFileName() + ".reading");
    JournalFolder.remove(scratch);
    JournalFolder.createEmpty(scratch, "");
    ReadableCopy copy = new ReadableCopy(scratch, true);
    try {
      if (isEarlier(journalFolder) || schema(journalFolder).equals(schema(scratch))) {
        copy.close();
        return new ReadableCopy(journalFolder, false);
      }
      byte[] firstPage = firstPage(scratch);
      long least = Files.size(scratch.resolve(JournalFolder.FILE));
      JournalFolder.remove(scratch);
      copy.mend(journalFolder, firstPage, least);
      if (!copy.hasId()) {
        copy.close();
        return new ReadableCopy(journalFolder, false);
      }
      return copy;
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
    return mended;
  }

  @Override
  public void close() throws IOException {
    if (mended) {
      JournalFolder.remove(readable);
    }
  }

  /** SQLite reads no table at all where the first page of one is beyond the end of the file. */
  private void mend(Path journalFolder, byte[] firstPage, long least) throws IOException {
    JournalFolder.createFolder(readable);
    for (String name : List.of(JournalFolder.FILE, JournalFolder.FILE + "-wal")) {
      if (Files.exists(journalFolder.resolve(name))) {
        Files.copy(journalFolder.resolve(name), readable.resolve(name));
      }
    }
    try (RandomAccessFile file =
        new RandomAccessFile(readable.resolve(JournalFolder.FILE).toFile(), "rw")) {
      file.write(firstPage);
      file.setLength(Math.max(least, file.length()));
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

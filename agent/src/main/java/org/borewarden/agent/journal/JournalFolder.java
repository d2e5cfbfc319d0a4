package org.borewarden.agent.journal;

import com.fasterxml.uuid.Generators;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * The journal's folder inside the data folder. SQLite keeps a journal in up to three files that
 * belong together, so they have a folder of their own: it is made under another name and renamed
 * when complete, and a damaged one is put away whole by one rename.
 *
 * <p>Never open a file in it with anything but SQLite while the agent runs: closing such a channel
 * gives up SQLite's locks on POSIX systems.
 */
final class JournalFolder {
  static final String FILE = "journal.db";
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  private final Path data;
  private final Path folder;

  JournalFolder(Path data) {
    this.data = data;
    this.folder = data.resolve("journal");
  }

  /** The connections to the journal in it. */
  Connector connector() {
    return new SqliteFile(folder.resolve(FILE));
  }

  /** The connections to a journal in a folder of that kind, such as one that was put away. */
  static Connector connector(Path journalFolder) {
    return new SqliteFile(journalFolder.resolve(FILE));
  }

  /** The fingerprint of where the journal lies. */
  String place() throws IOException {
    return Place.of(data, folder.resolve(FILE));
  }

  /** The space that is left for it. Only asks the file system. */
  long freeBytes() {
    return folder.toFile().getUsableSpace();
  }

  boolean exists() {
    return Files.exists(folder);
  }

  boolean hasFile() {
    return Files.isRegularFile(folder.resolve(FILE));
  }

  /** The size of the write-ahead log; 0 when there is none. Only asks the folder. */
  long logBytes() {
    return folder.resolve(FILE + "-wal").toFile().length();
  }

  void makeDataFolder() throws IOException {
    if (!Files.isDirectory(data)) {
      Files.createDirectories(data, ownerOnly(data, "rwx------"));
    }
  }

  /** Makes an empty journal with a new id. */
  void create(Instant now, String appVersion) throws IOException, SQLException {
    Path making = data.resolve("journal.new");
    remove(making);
    createEmpty(making, Generators.timeBasedEpochGenerator().generate().toString());
    try (Connection connection = connector(making).writer()) {
      putMeta(connection, Tables.CREATED, now.toString());
      putMeta(connection, Tables.APP_VERSION, appVersion);
      connection.commit();
    }
    syncFolder(making);
    Files.move(making, folder, StandardCopyOption.ATOMIC_MOVE);
    syncFolder(data);
  }

  /**
   * Puts a copy in the place of the journal, which is put away whole first. What is put in place is
   * complete and synced before it gets its name.
   *
   * @return where the journal before it is now
   */
  Optional<Path> replace(Path copyFolder, Instant now) throws IOException, SQLException {
    Path making = data.resolve("journal.new");
    remove(making);
    createFolder(making);
    try (Connection from = connector(copyFolder).reader();
        PreparedStatement vacuum = from.prepareStatement("VACUUM INTO ?")) {
      vacuum.setString(1, making.resolve(FILE).toString());
      vacuum.execute();
    }
    try (Connection connection = connector(making).writer()) {
      if (Schema.version(connection) < Schema.VERSION) {
        Schema.upgrade(connection);
      }
      Adoption.markRestored(connection);
    }
    try (FileChannel channel = FileChannel.open(making.resolve(FILE), StandardOpenOption.WRITE)) {
      channel.force(true);
    }
    syncFolder(making);
    Optional<Path> before =
        exists() ? Optional.of(putAway("journal.replaced-", now)) : Optional.empty();
    Files.move(making, folder, StandardCopyOption.ATOMIC_MOVE);
    syncFolder(data);
    return before;
  }

  static void createFolder(Path folder) throws IOException {
    Files.createDirectory(folder, ownerOnly(folder, "rwx------"));
  }

  /** Makes a folder, for its owner only, with an empty journal of an id. */
  static void createEmpty(Path folder, String id) throws IOException, SQLException {
    createFolder(folder);
    // SQLite gives its two other files the rights of this one.
    Files.createFile(folder.resolve(FILE), ownerOnly(folder, "rw-------"));
    try (Connection connection = connector(folder).writer()) {
      Schema.create(connection);
      putMeta(connection, Tables.ID, id);
      connection.commit();
    }
  }

  /** Puts the journal away whole; nothing that was put away before is overwritten. */
  Path setAside(Instant now) throws IOException {
    return putAway("journal.damaged-", now);
  }

  private Path putAway(String how, Instant now) throws IOException {
    String name = how + STAMP.format(now);
    Path target = data.resolve(name);
    for (int n = 2; Files.exists(target); n++) {
      target = data.resolve(name + "-" + n);
    }
    Files.move(folder, target, StandardCopyOption.ATOMIC_MOVE);
    syncFolder(data);
    return target;
  }

  /** Notes that the journal must not be written again, for the next start to put it away. */
  void markDamaged(String why) throws IOException {
    Files.writeString(mark(), why, StandardCharsets.UTF_8);
    syncFolder(folder);
  }

  /** Takes the note back, when the damage turned out to be a passing one. */
  void unmarkDamaged() throws IOException {
    Files.deleteIfExists(mark());
    syncFolder(folder);
  }

  Optional<String> markedDamaged() throws IOException {
    return Files.exists(mark())
        ? Optional.of(Files.readString(mark(), StandardCharsets.UTF_8))
        : Optional.empty();
  }

  private Path mark() {
    return folder.resolve("damaged.txt");
  }

  private static void putMeta(Connection connection, String name, String value)
      throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement("INSERT INTO meta(name, value) VALUES(?, ?)")) {
      insert.setString(1, name);
      insert.setString(2, value);
      insert.executeUpdate();
    }
  }

  /** Deletes a folder that was never a journal in use, if it is there. */
  static void remove(Path making) throws IOException {
    if (!Files.exists(making)) {
      return;
    }
    List<Path> files;
    try (Stream<Path> listed = Files.list(making)) {
      files = listed.toList();
    }
    for (Path file : files) {
      Files.delete(file);
    }
    Files.delete(making);
  }

  private static FileAttribute<?>[] ownerOnly(Path near, String rights) {
    return near.getFileSystem().supportedFileAttributeViews().contains("posix")
        ? new FileAttribute<?>[] {
          PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString(rights))
        }
        : new FileAttribute<?>[0];
  }

  /** A rename is safe only when the folder that lists it is synced; Windows has no such call. */
  private static void syncFolder(Path folder) throws IOException {
    if (folder.getFileSystem().supportedFileAttributeViews().contains("posix")) {
      try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
        channel.force(true);
      }
    }
  }
}

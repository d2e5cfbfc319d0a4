package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/**
 * Where a journal lies, as a fingerprint: the machine's id, the path of the data folder, and on
 * POSIX systems the inodes of the folder and the file. A copy, a restored file, a cloned machine
 * and a moved folder have another; a restart of the machine and an upgrade of the agent do not.
 */
final class Place {
  private static final Path MACHINE_ID = Path.of("/etc/machine-id");

  private Place() {}

  static String of(Path dataFolder, Path file) throws IOException {
    String text =
        machine(MACHINE_ID)
            + "\n"
            + dataFolder.toRealPath()
            + "\n"
            + inode(dataFolder)
            + inode(file);
    try {
      byte[] hash =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(hash, 0, 16);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform must offer SHA-256", e);
    }
  }

  private static String machine(Path file) throws IOException {
    return Files.isReadable(file) ? Files.readString(file, StandardCharsets.UTF_8).strip() : "";
  }

  private static String inode(Path file) throws IOException {
    return file.getFileSystem().supportedFileAttributeViews().contains("unix")
        ? Files.getAttribute(file, "unix:ino") + "\n"
        : "";
  }
}

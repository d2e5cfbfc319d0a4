package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps a second agent out of a data folder. The lock is the operating system's, so it is gone when
 * the process is; the pid in the file is only for the message.
 *
 * <p>Opening the same folder twice in one process is a mistake of ours, and on POSIX systems would
 * give up the first one's lock.
 */
final class FolderLock {
  private static final Logger LOG = LoggerFactory.getLogger(FolderLock.class);

  /** Far behind the text: where locks are mandatory the text stays readable to others. */
  private static final long LOCKED_BYTE = 1L << 40;

  private static final int PID_BYTES = 32;

  private final FileChannel channel;
  private final FileLock lock;

  private FolderLock(FileChannel channel, FileLock lock) {
    this.channel = channel;
    this.lock = lock;
  }

  /** Takes the lock of a folder, or says who has it. */
  static FolderLock take(Path folder) throws JournalException {
    Path file = folder.resolve("agent.lock");
    try {
      FileChannel channel =
          FileChannel.open(
              file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
      try {
        return take(folder, channel);
      } catch (IOException | JournalException e) {
        // Else the lock would stay, and this process could never open the folder again.
        channel.close();
        throw e;
      }
    } catch (IOException e) {
      throw new JournalException("cannot lock the data folder with " + file + ": " + e, e);
    }
  }

  private static FolderLock take(Path folder, FileChannel channel)
      throws IOException, JournalException {
    Optional<FileLock> lock = tryLock(channel);
    if (lock.isEmpty()) {
      throw new JournalException(
          "the data folder " + folder + " is in use by another agent (" + holder(channel) + ")");
    }
    writePid(channel);
    return new FolderLock(channel, lock.get());
  }

  void release() {
    try {
      lock.release();
      channel.close();
    } catch (IOException e) {
      // The lock ends with the process at the latest; nothing else hangs on it.
      LOG.warn("cannot give the data folder free: {}", e.toString());
    }
  }

  private static Optional<FileLock> tryLock(FileChannel channel) throws IOException {
    try {
      return Optional.ofNullable(channel.tryLock(LOCKED_BYTE, 1, false));
    } catch (OverlappingFileLockException e) {
      throw new IllegalStateException("this process has opened the data folder already", e);
    }
  }

  private static void writePid(FileChannel channel) throws IOException {
    String pid = ProcessHandle.current().pid() + "\n";
    channel.truncate(0);
    channel.write(ByteBuffer.wrap(pid.getBytes(StandardCharsets.US_ASCII)), 0);
  }

  private static String holder(FileChannel channel) throws IOException {
    ByteBuffer text = ByteBuffer.allocate(PID_BYTES);
    channel.read(text, 0);
    String pid = new String(text.array(), 0, text.position(), StandardCharsets.US_ASCII).strip();
    return pid.isEmpty() ? "process not known" : "process " + pid;
  }
}

package org.borewarden.agent.source.file;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SeekableByteChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Objects;
import java.util.Optional;
import org.borewarden.agent.config.FollowLink;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Follows a file line by line. A line is given once its line feed is there, and each reading
 * carries a bookmark, which the journal keeps: after a restart, or a restore of the journal,
 * reading goes on behind the last reading that is in it, so that none is missing and none comes
 * twice. A file that was put in the place of this one is read from its start; what was added to the
 * old one after it was moved away is not.
 */
public final class FollowedFile implements ByteLink {
  /** A longer line is given in pieces, of which the first is rejected as too long. */
  private static final int MOST_BYTES = 4_096;

  private static final Logger LOG = LoggerFactory.getLogger(FollowedFile.class);

  private final FollowLink follow;
  private final byte[] block = new byte[MOST_BYTES];
  private final ByteArrayOutputStream line = new ByteArrayOutputStream();
  private Optional<Bookmark> bookmark;
  private boolean seen;
  private volatile Optional<SeekableByteChannel> open = Optional.empty();
  private Optional<Object> key = Optional.empty();
  private long lineAt;
  private int at;
  private int filled;

  /**
   * A link that is not yet open.
   *
   * @param follow the file
   * @param bookmark where reading ended, as the journal has it
   */
  public FollowedFile(FollowLink follow, Optional<String> bookmark) {
    this.follow = follow;
    this.bookmark = bookmark.flatMap(Bookmark::parse);
    this.seen = bookmark.isPresent();
  }

  @Override
  public void open() throws LinkException {
    close();
    try {
      SeekableByteChannel file = Files.newByteChannel(follow.path());
      open = Optional.of(file);
      key = key();
      lineAt = begin(file);
      file.position(lineAt);
      seen = true;
      line.reset();
      at = 0;
      filled = 0;
    } catch (IOException failed) {
      close();
      boolean gone = Files.notExists(follow.path());
      throw new LinkException(
          gone ? "gone" : "open-failed",
          "cannot read " + name() + ": " + (gone ? "there is no such file" : failed.getMessage()));
    }
  }

  @Override
  public int read(byte[] buffer) {
    Optional<SeekableByteChannel> file = open;
    if (file.isEmpty()) {
      return -1;
    }
    try {
      int length = line(file.get(), buffer);
      if (length == 0) {
        Thread.sleep(TICK_MILLIS);
        return isOther(file.get()) ? -1 : 0;
      }
      return length;
    } catch (IOException lost) {
      LOG.debug("Lost {}", name(), lost);
      return -1;
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      return -1;
    }
  }

  @Override
  public boolean beginsWhole() {
    return true;
  }

  @Override
  public Optional<String> bookmark() {
    return bookmark.map(Bookmark::text);
  }

  @Override
  public void close() {
    Optional<SeekableByteChannel> before = open;
    open = Optional.empty();
    if (before.isPresent()) {
      try {
        before.get().close();
      } catch (IOException unclean) {
        LOG.debug("Closing {} failed", name(), unclean);
      }
    }
  }

  @Override
  public boolean isPresent() {
    return Files.exists(follow.path());
  }

  @Override
  public String name() {
    return follow.path().toString();
  }

  /** The bytes up to the next line feed, as far as they are there; 0 while it is not. */
  private int line(SeekableByteChannel file, byte[] buffer) throws IOException {
    while (true) {
      while (at < filled) {
        byte next = block[at++];
        line.write(next);
        if (next == '\n' || line.size() == Math.min(MOST_BYTES, buffer.length)) {
          return given(file, buffer);
        }
      }
      at = 0;
      filled = Math.max(0, file.read(ByteBuffer.wrap(block)));
      if (filled == 0) {
        return 0;
      }
    }
  }

  private int given(SeekableByteChannel file, byte[] buffer) throws IOException {
    byte[] bytes = line.toByteArray();
    line.reset();
    System.arraycopy(bytes, 0, buffer, 0, bytes.length);
    lineAt += bytes.length;
    bookmark = Optional.of(behind(file, lineAt));
    return bytes.length;
  }

  /** Where to begin: behind the bookmark, at the start of another file, at the end of a new one. */
  private long begin(SeekableByteChannel file) throws IOException {
    if (bookmark.isPresent()) {
      Bookmark mark = bookmark.get();
      if (mark.offset() <= file.size() && behind(file, mark.offset()).equals(mark)) {
        return mark.offset();
      }
      LOG.info("{} is another file than before: it is read from its start", name());
      bookmark = Optional.empty();
      return 0;
    }
    return seen || follow.fromStart() ? 0 : lastLine(file);
  }

  /** Behind the last line feed, so that a line that is being written is taken whole. */
  private static long lastLine(SeekableByteChannel file) throws IOException {
    long end = file.size();
    long from = Math.max(0, end - MOST_BYTES);
    byte[] tail = bytes(file, from, (int) (end - from));
    for (int i = tail.length - 1; i >= 0; i--) {
      if (tail[i] == '\n') {
        return from + i + 1;
      }
    }
    return from == 0 ? 0 : end;
  }

  private static Bookmark behind(SeekableByteChannel file, long offset) throws IOException {
    int looked = (int) Math.min(Bookmark.MOST, offset);
    return Bookmark.behind(offset, bytes(file, offset - looked, looked));
  }

  private static byte[] bytes(SeekableByteChannel file, long from, int length) throws IOException {
    long back = file.position();
    ByteBuffer bytes = ByteBuffer.allocate(length);
    file.position(from);
    while (bytes.hasRemaining() && file.read(bytes) > 0) {
      // A read may give less than there is.
    }
    file.position(back);
    return java.util.Arrays.copyOf(bytes.array(), bytes.position());
  }

  /** Whether the name leads to another file now, or this one was cut. */
  private boolean isOther(SeekableByteChannel file) throws IOException {
    return file.size() < lineAt || !Objects.equals(key, key());
  }

  /** What the system knows the file by; empty where it has no such thing, as on Windows. */
  private Optional<Object> key() throws IOException {
    Path path = follow.path();
    if (!Files.exists(path)) {
      return key;
    }
    return Optional.ofNullable(Files.readAttributes(path, BasicFileAttributes.class).fileKey());
  }
}

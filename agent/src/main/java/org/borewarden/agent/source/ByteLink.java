package org.borewarden.agent.source;

import java.util.Optional;

/**
 * A device that bytes come from. Opened, read and closed over and over on one thread; {@link
 * #close()} may come from any thread at any time, and ends a call of the others that waits.
 */
public interface ByteLink extends AutoCloseable {
  /** How long {@link #read} waits before it says that nothing came, in milliseconds. */
  int TICK_MILLIS = 100;

  /**
   * Connects to the device. Waits as long as the link's own limit says.
   *
   * @throws LinkException when that failed; the link may be opened again later
   */
  void open() throws LinkException;

  /**
   * Waits for bytes, at most about {@link #TICK_MILLIS}. Zero is evidence: the line was quiet for
   * that long.
   *
   * @param buffer takes them
   * @return how many came; 0 when the line was quiet; negative when the device is gone
   */
  int read(byte[] buffer);

  /** Closes within a second or leaves that to a thread of its own. Idempotent. */
  @Override
  void close();

  /**
   * Whether the device can be seen without opening it, so that one that was gone is opened as soon
   * as it is back.
   *
   * @return true where it cannot be told
   */
  boolean isPresent();

  /**
   * Whether the first byte after {@link #open()} is the first of a frame, as it is of a message or
   * of a line of a file, so that it need not be doubted.
   *
   * @return false for a line that somebody may be in the middle of speaking on
   */
  default boolean beginsWhole() {
    return false;
  }

  /**
   * Where in its source what was read so far ends, for one that can go on there after a restart; it
   * then gives at most one frame with each {@link #read}.
   *
   * @return empty for a device that cannot be wound back
   */
  default Optional<String> bookmark() {
    return Optional.empty();
  }

  /** Gives back what stays open between two lives of the link, after the last {@link #close()}. */
  default void release() {}

  /**
   * The device in words.
   *
   * @return for example {@code gauge-server.cell-4:4001}
   */
  String name();
}

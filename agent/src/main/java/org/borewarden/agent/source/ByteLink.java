package org.borewarden.agent.source;

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
   * The device in words.
   *
   * @return for example {@code gauge-server.cell-4:4001}
   */
  String name();
}

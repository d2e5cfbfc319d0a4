package org.borewarden.agent.source;

/** A device that can also be written to. */
public interface TwoWayLink extends ByteLink {
  /**
   * Sends bytes to the device. On the thread that reads.
   *
   * @param bytes all of them go out
   * @return false when the device is gone
   */
  boolean write(byte[] bytes);
}

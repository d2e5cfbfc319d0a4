package org.borewarden.agent.source;

import org.borewarden.agent.config.Asking;

/** A device that can also be written to. */
public interface TwoWayLink extends ByteLink {
  /**
   * Sends bytes to the device. On the thread that reads.
   *
   * @param bytes all of them go out
   * @return false when the device is gone
   */
  boolean write(byte[] bytes);

  /**
   * Whether a line of the port is raised. On the thread that reads.
   *
   * @param line the line
   * @return false for a device without such lines
   */
  default boolean isRaised(Asking.Line line) {
    return false;
  }
}

package org.borewarden.agent.decode;

import org.borewarden.rules.reading.Reading;

/** What a frame turned out to be. */
public sealed interface Decoded {

  /**
   * A reading.
   *
   * @param reading the value and the gauge that gave it
   */
  record Accepted(Reading reading) implements Decoded {}

  /**
   * No reading.
   *
   * @param from the gauge, or the port's id where the gauge could not be told
   * @param why the reason
   * @param detail what was expected and found
   * @param offset the byte of the frame at which it went wrong
   */
  record Refused(String from, Refusal why, String detail, int offset) implements Decoded {}
}

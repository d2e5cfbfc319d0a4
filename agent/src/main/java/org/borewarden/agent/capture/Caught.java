package org.borewarden.agent.capture;

import org.borewarden.rules.reading.Reading;

/** What came of a stay in a bore. */
public sealed interface Caught {
  /**
   * A reading.
   *
   * @param reading the value, with the count and the span of its samples
   */
  record Taken(Reading reading) implements Caught {}

  /**
   * No reading, though the gauge was there long enough for one.
   *
   * @param why the reason, as topics and metrics name it
   * @param detail what was expected and found
   */
  record Missed(String why, String detail) implements Caught {}
}

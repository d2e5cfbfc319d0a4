package org.borewarden.agent.config;

import java.time.Duration;
import java.util.Optional;

/**
 * A gauge that says nothing unless it is asked.
 *
 * @param send the request, one byte a character
 * @param every the time from one request to the next, at least 100 ms; empty where a line asks
 * @param on the line of the serial port that asks each time it is raised, as a foot switch does
 */
public record Asking(String send, Optional<Duration> every, Optional<Line> on) {
  /** Refuses what would never ask. */
  public Asking {
    if (every.isPresent() == on.isPresent()) {
      throw new IllegalArgumentException("expected a time or a line that asks, found both or none");
    }
  }

  /**
   * A gauge that is asked by the clock.
   *
   * @param send the request
   * @param every the time from one request to the next
   */
  public Asking(String send, Duration every) {
    this(send, Optional.of(every), Optional.empty());
  }

  /** A line that a serial port listens to. */
  public enum Line {
    /** Clear to send. */
    CTS,
    /** Data set ready. */
    DSR
  }
}

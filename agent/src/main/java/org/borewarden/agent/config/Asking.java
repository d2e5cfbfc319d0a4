package org.borewarden.agent.config;

import java.time.Duration;
import java.util.Optional;

/**
 * A gauge that says nothing unless it is asked.
 *
 * @param send the request, one byte a character
 * @param every the time from one request to the next, at least 100 ms; empty where something else
 *     asks
 * @param on the line of the serial port that asks each time it is raised, as a foot switch does; it
 *     is asked by command where neither stands
 */
public record Asking(String send, Optional<Duration> every, Optional<Line> on) {
  /** Refuses two that ask. */
  public Asking {
    if (every.isPresent() && on.isPresent()) {
      throw new IllegalArgumentException("expected a time or a line that asks, found both");
    }
  }

  /**
   * A gauge that a person or the cell asks by command.
   *
   * @param send the request
   * @return an asking without time and line
   */
  public static Asking byCommand(String send) {
    return new Asking(send, Optional.empty(), Optional.empty());
  }

  /**
   * Whether a command asks.
   *
   * @return false where a time or a line does
   */
  public boolean isByCommand() {
    return every.isEmpty() && on.isEmpty();
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

package org.borewarden.agent.board;

import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;

/** Slows whoever guesses: after five wrong words in a row nobody is heard for half a minute. */
final class Tries {
  static final int MOST_WRONG = 5;
  static final long REST_NANOS = TimeUnit.SECONDS.toNanos(30);

  private final MonotonicClock clock;
  private int wrong;
  private long lastNanos;

  Tries(MonotonicClock clock) {
    this.clock = clock;
  }

  synchronized boolean may() {
    if (wrong >= MOST_WRONG && clock.nanos() - lastNanos > REST_NANOS) {
      wrong = 0;
    }
    return wrong < MOST_WRONG;
  }

  synchronized void wrong() {
    wrong++;
    lastNanos = clock.nanos();
  }

  synchronized void right() {
    wrong = 0;
  }
}

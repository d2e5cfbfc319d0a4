package org.borewarden.agent.mqtt;

import java.time.Duration;
import java.util.Random;

/**
 * How long to wait before the next attempt: a random part of a bound that doubles ("full jitter"),
 * so that many agents do not return together. A connection that was kicked soon after it was made
 * counts as a failed attempt. Owned by the link's thread.
 */
final class Backoff {
  private static final int TAKEN_OVER = 5;

  private final Duration first;
  private final Duration longest;
  private final Duration stableAfter;
  private final Random random;
  private int failures;

  /** What is not forgotten before a connection was stable again. */
  private int least;

  Backoff(LinkSettings settings, Random random) {
    this.first = settings.firstRetry();
    this.longest = settings.longestRetry();
    this.stableAfter = settings.stableAfter();
    this.random = random;
  }

  /** A connection that held so long was lost. */
  void lostAfter(Duration held) {
    if (held.compareTo(stableAfter) >= 0) {
      failures = 0;
      least = 0;
    }
  }

  /** Another client uses our id: returning at once would only kick it, so the bound starts high. */
  void takenOver() {
    least = TAKEN_OVER;
    failures = Math.max(failures, least);
  }

  /** The cause of the losses was found; a takeover is another cause. */
  void forget() {
    failures = least;
  }

  /** The attempts in a row that did not lead to a stable connection. */
  int failures() {
    return failures;
  }

  /** The wait before the next attempt; counts a failure. */
  Duration next() {
    long bound = longest.toNanos();
    if (failures < 30) {
      bound = Math.min(bound, first.toNanos() << failures);
    }
    failures++;
    return Duration.ofNanos((long) (random.nextDouble() * bound));
  }
}

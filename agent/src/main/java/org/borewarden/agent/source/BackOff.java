package org.borewarden.agent.source;

import java.time.Duration;
import java.util.random.RandomGenerator;

/**
 * How long to wait before a link is opened again: doubling from the first wait to the longest, each
 * shortened by up to half at random, so that the ports of a restarted device server do not all
 * knock at once. One thread only.
 */
final class BackOff {
  private final long firstNanos;
  private final long longestNanos;
  private final RandomGenerator random;
  private long nextNanos;

  BackOff(Duration first, Duration longest, RandomGenerator random) {
    this.firstNanos = first.toNanos();
    this.longestNanos = longest.toNanos();
    this.random = random;
    this.nextNanos = firstNanos;
  }

  Duration next() {
    long most = nextNanos;
    nextNanos = Math.min(longestNanos, 2 * most);
    return Duration.ofNanos(most / 2 + random.nextLong(most / 2 + 1));
  }

  void reset() {
    nextNanos = firstNanos;
  }
}

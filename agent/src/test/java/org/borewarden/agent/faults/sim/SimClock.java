package org.borewarden.agent.faults.sim;

import java.time.Instant;
import java.util.concurrent.TimeUnit;

/** Both clocks; only the wall clock can step. */
final class SimClock {
  private long nanos = TimeUnit.DAYS.toNanos(1);
  private long wallMillis = Instant.parse("2026-05-05T08:00:00Z").toEpochMilli();

  void pass(long millis) {
    nanos += TimeUnit.MILLISECONDS.toNanos(millis);
    wallMillis += millis;
  }

  void step(long millis) {
    wallMillis += millis;
  }

  long nanos() {
    return nanos;
  }

  Instant now() {
    return Instant.ofEpochMilli(wallMillis);
  }
}

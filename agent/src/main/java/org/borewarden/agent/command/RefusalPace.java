package org.borewarden.agent.command;

import org.borewarden.agent.clock.MonotonicClock;

/**
 * Lets only so many refusals a second into the journal, so that nobody can fill the disk with
 * nonsense; counts the rest. Owned by the thread of the door that it stands at.
 */
public final class RefusalPace {
  private static final long BURST = 50;
  private static final long NANOS_EACH = 100_000_000;

  private final MonotonicClock clock;
  private long lastNanos;
  private long tokens = BURST;
  private long unrecorded;

  /**
   * A pace that has let nothing in yet.
   *
   * @param clock for durations
   */
  public RefusalPace(MonotonicClock clock) {
    this.clock = clock;
    this.lastNanos = clock.nanos();
  }

  /**
   * Whether one more may be recorded now; if not it is counted.
   *
   * @return true when it may
   */
  public boolean allows() {
    long now = clock.nanos();
    long more = (now - lastNanos) / NANOS_EACH;
    tokens = Math.min(BURST, tokens + more);
    lastNanos += more * NANOS_EACH;
    if (tokens == 0) {
      unrecorded++;
      return false;
    }
    tokens--;
    return true;
  }

  /**
   * How many were not recorded since this was last asked.
   *
   * @return the count
   */
  public long unrecorded() {
    long count = unrecorded;
    unrecorded = 0;
    return count;
  }
}

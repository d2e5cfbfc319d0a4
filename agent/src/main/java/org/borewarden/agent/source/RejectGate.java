package org.borewarden.agent.source;

import java.time.Duration;
import java.util.OptionalLong;

/**
 * Keeps a flood of garbage out of the journal: lets through at most so many rejected frames in any
 * window of time, and tells with the next one how many it held back. One thread only.
 */
final class RejectGate {
  private final long windowNanos;
  private final long[] passedAt;
  private long passed;
  private long heldBack;

  RejectGate(int most, Duration window) {
    this.passedAt = new long[most];
    this.windowNanos = window.toNanos();
  }

  /**
   * Asks for one rejected frame.
   *
   * @param nowNanos monotonic
   * @return how many were held back since the last that passed; empty when this one is held back
   */
  OptionalLong pass(long nowNanos) {
    int slot = (int) (passed % passedAt.length);
    if (passed >= passedAt.length && nowNanos - passedAt[slot] < windowNanos) {
      heldBack++;
      return OptionalLong.empty();
    }
    passedAt[slot] = nowNanos;
    passed++;
    OptionalLong before = OptionalLong.of(heldBack);
    heldBack = 0;
    return before;
  }
}

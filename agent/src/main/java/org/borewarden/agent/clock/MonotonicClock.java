package org.borewarden.agent.clock;

/** Time that only goes forward, for durations. Its zero means nothing. */
public interface MonotonicClock {
  /**
   * The monotonic time.
   *
   * @return nanoseconds since an arbitrary origin
   */
  long nanos();
}

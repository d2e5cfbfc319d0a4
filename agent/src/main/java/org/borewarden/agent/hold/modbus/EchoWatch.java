package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Follows the cell's echo of our beats: lost when it stands while beats are given, back after three
 * moves. An echo moves when it is another one than before and one of the last eight beats shown.
 *
 * <p>{@link #given} and {@link #shown} on any thread; the rest on the output's thread.
 */
final class EchoWatch {
  static final int MOVES_NEEDED = 3;
  static final int BEHIND_MOST = 8;

  private static final long NOBODY_WAITS = Long.MIN_VALUE;

  private final long withinNanos;
  private final AtomicLong waitingSince = new AtomicLong(NOBODY_WAITS);
  private volatile long givenAt;
  private volatile int shown;
  private volatile boolean up;
  private volatile long movedAt;
  private boolean told;
  private int last;
  private int moves;

  EchoWatch(Duration within, long now) {
    this.withinNanos = within.toNanos();
    this.movedAt = now;
    this.givenAt = now;
  }

  /** The loop gave a beat; while it does and the echo stands, the link is to blame. */
  void given(long now) {
    if (now - givenAt > withinNanos) {
      waitingSince.set(
          now); // the loop was away: what was not echoed before that is too old to blame
    } else {
      waitingSince.compareAndSet(NOBODY_WAITS, now);
    }
    givenAt = now;
  }

  /** A beat is shown to the cell. */
  void shown(int beat) {
    shown = beat;
  }

  /**
   * The cell's echo was read.
   *
   * @return whether it is, or was, one of ours
   */
  boolean echo(int echo, long now) {
    if (echo == last) {
      return true;
    }
    last = echo;
    if (echo == 0 || shown == 0 || RegisterMap.steps(echo, shown) > BEHIND_MOST) {
      moves = 0;
      return false;
    }
    moves = now - movedAt > withinNanos ? 1 : Math.min(moves + 1, MOVES_NEEDED);
    movedAt = now;
    waitingSince.set(NOBODY_WAITS);
    return true;
  }

  /**
   * What time makes of it.
   *
   * @return whether the link is up, where that is new
   */
  Optional<Boolean> change(long now) {
    long since = waitingSince.get();
    boolean beating = now - givenAt <= withinNanos;
    boolean overdue = since != NOBODY_WAITS && beating && now - since > withinNanos;
    boolean is = !overdue && (up || moves == MOVES_NEEDED);
    if (overdue) {
      moves = 0;
    }
    if (is == up && (told || !overdue)) {
      return Optional.empty();
    }
    told = true;
    up = is;
    return Optional.of(is);
  }

  boolean up() {
    return up;
  }

  /** When it last moved; monotonic nanoseconds. */
  long movedAt() {
    return movedAt;
  }

  Duration age(long now) {
    return Duration.ofNanos(now - movedAt);
  }
}

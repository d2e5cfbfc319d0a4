package org.borewarden.agent.faults;

import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.peers.Cases;

/** Waiting for conditions, and for instants that a seed has chosen. */
public final class Waits {
  /** Long runs go on beside each other. */
  static final Duration MOST = Duration.ofSeconds(Cases.LONG ? 300 : 60);

  /** A parked thread comes back late by about so much. */
  private static final long SPUN_NANOS = 100_000;

  private Waits() {}

  static void until(String what, Callable<Boolean> done) throws Exception {
    if (!most(MOST, done)) {
      throw new AssertionError("waited in vain for " + what);
    }
  }

  /** The same for what a whole journal is read for. */
  static void untilJournal(String what, Callable<Boolean> done) throws Exception {
    if (!most(MOST, Duration.ofMillis(40), done)) {
      throw new AssertionError("waited in vain for " + what);
    }
  }

  /** Waits at most so long; false when it was in vain. */
  public static boolean most(Duration time, Callable<Boolean> done) throws Exception {
    return most(time, Duration.ofMillis(3), done);
  }

  /** The same for what is dear to look at, so that it is looked at less often. */
  static boolean most(Duration time, Duration every, Callable<Boolean> done) throws Exception {
    long end = System.nanoTime() + time.toNanos();
    while (!done.call()) {
      if (System.nanoTime() > end) {
        return false;
      }
      pause(every.toMillis());
    }
    return true;
  }

  /** Lets a time pass that the test's random numbers have chosen. */
  static void pass(long micros) throws InterruptedException {
    long end = System.nanoTime() + micros * 1000;
    for (long left = end - System.nanoTime(); left > 0; left = end - System.nanoTime()) {
      if (left > SPUN_NANOS) {
        park(left - SPUN_NANOS);
      } else {
        Thread.onSpinWait();
      }
    }
  }

  private static void pause(long millis) throws InterruptedException {
    park(TimeUnit.MILLISECONDS.toNanos(millis));
  }

  private static void park(long nanos) throws InterruptedException {
    LockSupport.parkNanos(nanos);
    if (Thread.interrupted()) {
      throw new InterruptedException("while waiting");
    }
  }
}

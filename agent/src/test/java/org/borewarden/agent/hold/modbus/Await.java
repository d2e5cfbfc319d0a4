package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** Waits for a condition with a deadline. */
final class Await {
  private static final Duration DEADLINE = Duration.ofSeconds(30);

  private Await() {}

  static void until(String what, BooleanSupplier condition) {
    long end = System.nanoTime() + DEADLINE.toNanos();
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() - end > 0) {
        throw new AssertionError("not within " + DEADLINE + ": " + what);
      }
      LockSupport.parkNanos(1_000_000);
    }
  }
}

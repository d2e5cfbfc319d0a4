package org.borewarden.demo.story;

import java.time.Duration;
import java.util.function.BooleanSupplier;

/** Waits for something to become true. */
public final class Waiting {
  private static final long LOOK_EVERY_MILLIS = 5;

  private Waiting() {}

  /**
   * Waits.
   *
   * @param what is awaited, for the message
   * @param most the longest wait
   * @param condition what must become true
   * @throws StoryException when it did not in time
   * @throws InterruptedException when the demo is asked to stop
   */
  public static void until(String what, Duration most, BooleanSupplier condition)
      throws StoryException, InterruptedException {
    long end = System.nanoTime() + most.toNanos();
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new StoryException("waited " + most.toSeconds() + " s for " + what);
      }
      Thread.sleep(LOOK_EVERY_MILLIS);
    }
  }
}

package org.borewarden.demo.speed;

import org.borewarden.demo.controller.CellListener;

/**
 * Notes when the permit word in the controller's registers loses the permit. Written on the
 * connection's thread, read on the measuring one.
 */
final class Permit implements CellListener {
  private static final int WORD = 2;

  private volatile boolean given;
  private volatile long gone;

  @Override
  public void written(int[] blockA) {
    boolean now = (blockA[WORD] & 1) != 0;
    if (given && !now) {
      gone = System.nanoTime();
    }
    given = now;
  }

  boolean given() {
    return given;
  }

  /** When it was last lost, by the monotonic clock. */
  long gone() {
    return gone;
  }
}

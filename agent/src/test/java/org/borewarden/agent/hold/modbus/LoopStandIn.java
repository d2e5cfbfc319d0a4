package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;

/** Stands in for the loop: gives a beat each period, and at once when the image changes. */
final class LoopStandIn implements AutoCloseable {
  private final HoldOutput output;
  private final long periodMillis;
  private final Thread thread = new Thread(this::run, "loop-stand-in");
  private PermitImage image;
  private int beat;
  private boolean changed;
  private boolean stalled;
  private boolean closed;

  LoopStandIn(HoldOutput output, PermitImage image, Duration period) {
    this.output = output;
    this.image = image;
    this.periodMillis = period.toMillis();
    thread.setDaemon(true);
    thread.start();
  }

  private synchronized void run() {
    long next = System.nanoTime();
    try {
      while (!closed) {
        long left = (next - System.nanoTime()) / 1_000_000;
        if (left > 0 && !changed) {
          wait(left);
          continue;
        }
        changed = false;
        next = Math.max(next + periodMillis * 1_000_000, System.nanoTime());
        if (!stalled) {
          beat = beat == 65535 ? 1 : beat + 1;
          output.beat(beat, image);
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Shows another image, now. */
  synchronized void show(PermitImage next) {
    image = next;
    changed = true;
    notifyAll();
  }

  /** Stops giving beats, or goes on. */
  synchronized void stall(boolean on) {
    stalled = on;
  }

  synchronized int beat() {
    return beat;
  }

  @Override
  public synchronized void close() {
    closed = true;
    notifyAll();
  }
}

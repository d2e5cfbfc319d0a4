package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;

/**
 * Puts images on the wire in the order of their beats, whichever thread brings them: the loop's
 * that withdraws a permit, or the output's. An image is never written after one with a newer beat,
 * and a connection's first one is without permit.
 */
final class BeatOrder {
  /** A beat that is so far ahead, going round, is behind. */
  private static final int HALF = 32_767;

  private final CellSide side;
  private final Wires wires;
  private final ReentrantLock lock = new ReentrantLock();

  // Guarded by the lock.
  private AtomicInteger unanswered = new AtomicInteger();
  private Optional<ControllerConnection> open = Optional.empty();
  private boolean fresh;
  private boolean permits;
  private int last;

  BeatOrder(CellSide side, Wires wires) {
    this.side = side;
    this.wires = wires;
  }

  /**
   * An image that is on its way.
   *
   * @param on the connection
   * @param answer true when the controller has it
   */
  record Sent(ControllerConnection on, CompletableFuture<Boolean> answer) {}

  /** From here on images go there. The output's thread only. */
  void opened(ControllerConnection connection) {
    lock.lock();
    try {
      open = Optional.of(connection);
      fresh = true;
      permits = false;
      unanswered = new AtomicInteger();
    } finally {
      lock.unlock();
    }
  }

  /** From here on none goes anywhere. The output's thread only. */
  void closed() {
    lock.lock();
    try {
      open = Optional.empty();
    } finally {
      lock.unlock();
    }
  }

  /**
   * Writes an image without permit at once, on the loop thread; never waits. Where a permit stands
   * at the controller this goes out behind whatever is unanswered; where none does, only while all
   * is answered, so that a slow controller is not asked twice at a time.
   *
   * @return empty where the output's thread must do it
   */
  Optional<Sent> withdraw(Shown shown) {
    if (!lock.tryLock()) {
      return Optional.empty();
    }
    try {
      return fresh || (!permits && unanswered.get() > 0)
          ? Optional.empty()
          : write(shown, true, true);
    } finally {
      lock.unlock();
    }
  }

  /** Writes an image. The output's thread only; empty where a newer one is on its way. */
  Optional<Sent> write(Shown shown) {
    return write(shown, false, true);
  }

  /** Writes an image as if its permit had gone. The output's thread only. */
  Optional<Sent> writeWithoutPermit(Shown shown) {
    return write(shown, true, false);
  }

  private Optional<Sent> write(Shown shown, boolean without, boolean mayWalk) {
    lock.lock();
    try {
      if (open.isEmpty() || (last != 0 && RegisterMap.steps(last, shown.beat()) > HALF)) {
        return Optional.empty();
      }
      boolean gives = shown.permits() && !without && !fresh;
      int[] blockA = side.blockA(shown.beat(), shown.image(), gives, mayWalk && !fresh);
      side.shown(shown.beat());
      last = shown.beat();
      ControllerConnection to = open.get();
      CompletableFuture<Boolean> answer = counted(to.write(blockA));
      if (permits && !gives) {
        answer = answer.whenComplete((done, failure) -> withdrawn(shown, done));
      }
      permits = gives;
      fresh = false;
      return Optional.of(new Sent(to, answer));
    } finally {
      lock.unlock();
    }
  }

  private void withdrawn(Shown shown, @Nullable Boolean done) {
    if (done != null) {
      wires.meter().withdrawn(Duration.ofNanos(wires.clock().nanos() - shown.givenAt()));
    }
  }

  /** Reads block B. The output's thread only. */
  Optional<CompletableFuture<int[]>> read() {
    lock.lock();
    try {
      return open.map(from -> counted(from.read()));
    } finally {
      lock.unlock();
    }
  }

  private <T> CompletableFuture<T> counted(CompletableFuture<T> answer) {
    AtomicInteger ofThisConnection = unanswered;
    ofThisConnection.incrementAndGet();
    return answer.whenComplete((value, failure) -> ofThisConnection.decrementAndGet());
  }
}

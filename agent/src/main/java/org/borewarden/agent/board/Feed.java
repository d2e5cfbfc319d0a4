package org.borewarden.agent.board;

import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;

/**
 * The latest that viewers may see. There is one, never a queue: whoever reads slowly finds the
 * newest when he comes back. Thread-safe.
 */
final class Feed {
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition newer = lock.newCondition();
  private Frame latest = new Frame(0, "", 0, "");
  private boolean closed;

  /**
   * What is shown.
   *
   * @param number counts frames
   * @param beat what changes with every frame, the members of an object
   * @param states counts the states
   * @param state the state, the members of an object
   */
  record Frame(long number, String beat, long states, String state) {}

  void show(String beat, String state) {
    lock.lock();
    try {
      long states = latest.states() + (state.equals(latest.state()) ? 0 : 1);
      latest = new Frame(latest.number() + 1, beat, states, state);
      newer.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** The newest frame once it is another than that number, or the same after the longest wait. */
  Frame after(long number, long most, TimeUnit unit) throws InterruptedException {
    lock.lock();
    try {
      long left = unit.toNanos(most);
      while (latest.number() == number && left > 0 && !closed) {
        left = newer.awaitNanos(left);
      }
      return latest;
    } finally {
      lock.unlock();
    }
  }

  boolean closed() {
    lock.lock();
    try {
      return closed;
    } finally {
      lock.unlock();
    }
  }

  void close() {
    lock.lock();
    try {
      closed = true;
      newer.signalAll();
    } finally {
      lock.unlock();
    }
  }
}

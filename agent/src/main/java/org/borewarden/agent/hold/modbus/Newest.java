package org.borewarden.agent.hold.modbus;

import java.util.Optional;
import java.util.concurrent.locks.LockSupport;

/**
 * A place for one thing, of which only the newest counts. The lock is held for an assignment only,
 * so putting does not wait; one thread takes.
 *
 * @param <T> the thing
 */
final class Newest<T> {
  private final Thread taker;
  private Optional<T> place = Optional.empty();

  Newest(Thread taker) {
    this.taker = taker;
  }

  /** Any thread. What was there and not taken is dropped. */
  void put(T thing) {
    synchronized (this) {
      place = Optional.of(thing);
    }
    LockSupport.unpark(taker);
  }

  synchronized Optional<T> peek() {
    return place;
  }

  /** The taker's thread only; returns early, with nothing, when it is woken for another reason. */
  Optional<T> take(long waitNanos) {
    if (peek().isEmpty()) {
      LockSupport.parkNanos(this, waitNanos);
    }
    synchronized (this) {
      Optional<T> taken = place;
      place = Optional.empty();
      return taken;
    }
  }
}

package org.borewarden.agent.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * What waits for the link's thread, urgent things first. Thread-safe; taken from by the link's
 * thread only.
 */
final class Outbound {
  /** More than this is refused: whoever publishes so much has to watch the answers. */
  static final int CAPACITY = 2000;

  private final ConcurrentLinkedQueue<Parcel> urgent = new ConcurrentLinkedQueue<>();
  private final ConcurrentLinkedQueue<Parcel> ordinary = new ConcurrentLinkedQueue<>();
  private final AtomicInteger waiting = new AtomicInteger();
  private final Semaphore work = new Semaphore(0);

  /** Takes a parcel if there is room. Any thread. */
  boolean offer(Parcel parcel) {
    if (waiting.incrementAndGet() > CAPACITY) {
      waiting.decrementAndGet();
      return false;
    }
    (parcel.message().urgent() ? urgent : ordinary).add(parcel);
    wake();
    return true;
  }

  /** Something changed that the link's thread should look at. Any thread. */
  void wake() {
    work.release();
  }

  /** Waits for something to look at. */
  void await(long millis) throws InterruptedException {
    if (work.tryAcquire(millis, TimeUnit.MILLISECONDS)) {
      work.drainPermits();
    }
  }

  /** The next parcel; ordinary ones only where the last free place is not kept for urgent ones. */
  Optional<Parcel> next(boolean ordinaryToo) {
    Optional<Parcel> parcel = Optional.ofNullable(urgent.poll());
    if (parcel.isEmpty() && ordinaryToo) {
      parcel = Optional.ofNullable(ordinary.poll());
    }
    if (parcel.isPresent()) {
      waiting.decrementAndGet();
    }
    return parcel;
  }

  /** Everything that waits, taken out. */
  List<Parcel> drain() {
    List<Parcel> all = new ArrayList<>();
    for (Optional<Parcel> p = next(true); p.isPresent(); p = next(true)) {
      all.add(p.get());
    }
    return all;
  }
}

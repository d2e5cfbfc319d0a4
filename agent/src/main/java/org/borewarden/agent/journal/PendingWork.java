package org.borewarden.agent.journal;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;

/**
 * What waits for the scribe: the loop's entries, counted against a limit, and the broker's answers,
 * which are never refused because they make room. The lock is held only to add or take references.
 */
final class PendingWork {
  /** Entries beyond the limit for what must not wait: conditions, commands, holds. */
  static final int RESERVE_ENTRIES = 1_000;

  /** Answers in one transaction; more wait for the next. */
  private static final int ANSWERS_AT_ONCE = 5_000;

  private final int limit;
  private final Pace pace;
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private final ArrayDeque<Request> requests = new ArrayDeque<>();
  private final ArrayDeque<BrokerAnswer> answers = new ArrayDeque<>();

  /** Entries that are not yet synced, those in the scribe's hands included. */
  private final AtomicInteger entries = new AtomicInteger();

  private boolean stopping;
  private boolean abandoned;

  PendingWork(int limit, Pace pace) {
    this.limit = limit;
    this.pace = pace;
  }

  boolean hasRoom() {
    return entries.get() < limit;
  }

  boolean hasReserve() {
    return entries.get() < limit + RESERVE_ENTRIES;
  }

  Pace pace() {
    return pace;
  }

  int entries() {
    return entries.get();
  }

  void add(Request request, int entriesInIt) {
    lock.lock();
    try {
      requests.add(request);
      entries.addAndGet(entriesInIt);
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  void answer(BrokerAnswer answer) {
    lock.lock();
    try {
      answers.add(answer);
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** The scribe has synced entries: there is room again. */
  void synced(int count) {
    entries.addAndGet(-count);
  }

  /** Asks the scribe to write what waits and then to end. */
  void stop() {
    lock.lock();
    try {
      stopping = true;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** Asks the scribe to end with what waits unwritten, because the disk does not answer. */
  void abandon() {
    lock.lock();
    try {
      stopping = true;
      abandoned = true;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  boolean stopping() {
    lock.lock();
    try {
      return stopping;
    } finally {
      lock.unlock();
    }
  }

  boolean abandoned() {
    lock.lock();
    try {
      return abandoned;
    } finally {
      lock.unlock();
    }
  }

  /**
   * What is to be written next. Scribe's thread only.
   *
   * @param quietFor the longest time to wait when nothing comes
   * @return empty when nothing came for the quiet time, or when it is time to end
   */
  Batch take(Duration quietFor) throws InterruptedException {
    lock.lock();
    try {
      long quiet = quietFor.toNanos();
      while (requests.isEmpty() && answers.isEmpty() && !stopping && quiet > 0) {
        quiet = changed.awaitNanos(quiet);
      }
      gather(requests.isEmpty() ? pace.acknowledgeWithin() : pace.commitEvery());
      return takeAll();
    } finally {
      lock.unlock();
    }
  }

  /** Waits between two attempts to open the file, or until the work is abandoned. */
  void pause(Duration time) throws InterruptedException {
    lock.lock();
    try {
      long left = time.toNanos();
      while (!abandoned && left > 0) {
        left = changed.awaitNanos(left);
      }
    } finally {
      lock.unlock();
    }
  }

  /** Lets others join: entries for the configured time, answers until an entry takes them along. */
  private void gather(Duration time) throws InterruptedException {
    boolean onlyAnswers = requests.isEmpty();
    long left = time.toNanos();
    while (!stopping
        && left > 0
        && (onlyAnswers
            ? requests.isEmpty() && !answers.isEmpty()
            : requests.size() < pace.batchEntries())) {
      left = changed.awaitNanos(left);
    }
  }

  private Batch takeAll() {
    List<Request> taken = new ArrayList<>();
    int rows = 0;
    while (rows < pace.batchEntries() && !requests.isEmpty()) {
      Request request = requests.remove();
      rows += request instanceof Request.Group group ? group.entries().size() : 1;
      taken.add(request);
    }
    List<BrokerAnswer> answered = new ArrayList<>();
    while (answered.size() < ANSWERS_AT_ONCE && !answers.isEmpty()) {
      answered.add(answers.remove());
    }
    return taken.isEmpty() && answered.isEmpty() ? Batch.EMPTY : Batch.of(taken, answered);
  }
}

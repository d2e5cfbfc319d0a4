package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;

/**
 * What publisher, scribe and metrics know in common about the outbox. The counts are read from the
 * tables at each opening and kept by the scribe; any thread may read.
 */
final class OutboxBooks {
  private final Set<Long> answered = ConcurrentHashMap.newKeySet();
  private final ReentrantLock lock = new ReentrantLock();
  private final Condition grown = lock.newCondition();

  private long stored;
  private long refused;
  private long growths;
  private long rewinds;
  private Optional<Instant> oldest = Optional.empty();

  /** Rows that the broker has answered and that the scribe has not yet taken out. */
  boolean isAnswered(long seq) {
    return answered.contains(seq);
  }

  /**
   * Notes an answer.
   *
   * @return false when the row was answered before
   */
  boolean note(long seq) {
    return answered.add(seq);
  }

  /** Counts anew what is stored. Scribe's thread, or before it starts. */
  void recount(Connection connection) throws SQLException {
    long rows = Tables.outboxRows(connection);
    long aside = Tables.asideRows(connection);
    Optional<Instant> at = Tables.outboxOldest(connection);
    lock.lock();
    try {
      stored = rows;
      refused = aside;
      oldest = at;
      growths++;
      grown.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** Takes over what a synced transaction did. Scribe's thread. */
  void settled(Batch batch, Writer.Written written) {
    batch.answers().forEach(answer -> answered.remove(answer.seq()));
    lock.lock();
    try {
      stored += written.added() - written.acknowledged() - written.refused();
      refused += written.refused();
      oldest = written.oldest();
      rewinds += batch.again().size();
      if (written.added() > 0) {
        growths++;
        grown.signalAll();
      }
    } finally {
      lock.unlock();
    }
  }

  /** A number that changes when rows were added. */
  long growths() {
    lock.lock();
    try {
      return growths;
    } finally {
      lock.unlock();
    }
  }

  /** A number that changes when rows came that lie before those already read. */
  long rewinds() {
    lock.lock();
    try {
      return rewinds;
    } finally {
      lock.unlock();
    }
  }

  /** Waits until rows were added since a number was seen, or a time has passed. */
  void awaitGrowth(long seen, long millis) throws InterruptedException {
    lock.lock();
    try {
      long left = TimeUnit.MILLISECONDS.toNanos(millis);
      while (growths == seen && left > 0) {
        left = grown.awaitNanos(left);
      }
    } finally {
      lock.unlock();
    }
  }

  long waiting() {
    lock.lock();
    try {
      return Math.max(0, stored - answered.size());
    } finally {
      lock.unlock();
    }
  }

  long refused() {
    lock.lock();
    try {
      return refused;
    } finally {
      lock.unlock();
    }
  }

  Optional<Instant> oldest() {
    lock.lock();
    try {
      return oldest;
    } finally {
      lock.unlock();
    }
  }
}

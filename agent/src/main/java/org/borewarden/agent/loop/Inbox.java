package org.borewarden.agent.loop;

import java.util.ArrayDeque;
import java.util.Optional;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Event;

/**
 * The one door of the loop: a bounded queue in order of arrival. A full inbox makes {@link #put}
 * wait, so that a source stops reading and its driver's buffer fills. Any thread puts; only the
 * loop takes.
 */
public final class Inbox implements EventSink {
  /** The events that may wait. */
  public static final int CAPACITY = 1024;

  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private final Condition room = lock.newCondition();
  private final ArrayDeque<Event> events = new ArrayDeque<>();
  private boolean signalled;
  private long overruns;

  @Override
  public void put(Event event) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      if (events.size() >= CAPACITY) {
        overruns++;
      }
      while (events.size() >= CAPACITY) {
        room.await();
      }
      events.add(event);
      changed.signal();
    } finally {
      lock.unlock();
    }
  }

  @Override
  public boolean offer(Event event) {
    lock.lock();
    try {
      if (events.size() >= CAPACITY) {
        overruns++;
        return false;
      }
      events.add(event);
      changed.signal();
      return true;
    } finally {
      lock.unlock();
    }
  }

  /** Makes a waiting {@link #poll} return, because something beside the queue changed. */
  void signal() {
    lock.lock();
    try {
      signalled = true;
      changed.signal();
    } finally {
      lock.unlock();
    }
  }

  /**
   * Takes the oldest event, waiting at most so long for one or for a signal.
   *
   * @param takes false while the journal has no room: then events stay where they are
   * @param nanos the longest wait
   * @return the event, or empty
   * @throws InterruptedException when the loop is asked to stop
   */
  Optional<Event> poll(boolean takes, long nanos) throws InterruptedException {
    lock.lockInterruptibly();
    try {
      long left = nanos;
      while (!signalled && (!takes || events.isEmpty()) && left > 0) {
        left = changed.awaitNanos(left);
      }
      signalled = false;
      Event event = takes ? events.poll() : null;
      if (event != null) {
        room.signal();
      }
      return Optional.ofNullable(event);
    } finally {
      lock.unlock();
    }
  }

  /**
   * How many events wait.
   *
   * @return 0 to {@link #CAPACITY}
   */
  public int waiting() {
    lock.lock();
    try {
      return events.size();
    } finally {
      lock.unlock();
    }
  }

  /**
   * How often an event met a full inbox.
   *
   * @return the count since the start
   */
  public long overruns() {
    lock.lock();
    try {
      return overruns;
    } finally {
      lock.unlock();
    }
  }
}

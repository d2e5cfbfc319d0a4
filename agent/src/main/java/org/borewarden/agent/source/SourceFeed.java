package org.borewarden.agent.source;

import java.time.Duration;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One port at work: a thread of its own that opens the link, reads it until it is gone, and opens
 * it again. Made by {@link Sources}. Methods are for the thread that starts and stops the agent;
 * none throws for what a device does.
 */
public final class SourceFeed implements AutoCloseable {
  /** The longest that {@link #close()} takes. */
  static final Duration CLOSE_LIMIT = Duration.ofSeconds(2);

  /** A link that stood for so long is opened again quickly; one that flaps is not. */
  static final Duration STEADY = Duration.ofSeconds(10);

  /** How often a device that is gone is looked for while waiting. */
  private static final Duration LOOK = Duration.ofMillis(250);

  /** How long the thread may take to end by itself before its link is closed under it. */
  private static final Duration OWN_ACCORD = Duration.ofMillis(3 * ByteLink.TICK_MILLIS);

  private static final Logger LOG = LoggerFactory.getLogger(SourceFeed.class);

  private final String source;
  private final ByteLink link;
  private final LinkReader reader;
  private final SourceReport report;
  private final BackOff backOff;
  private final MonotonicClock clock;
  private final CountDownLatch stop = new CountDownLatch(1);
  private final Thread thread;

  SourceFeed(
      String source,
      ByteLink link,
      LinkReader reader,
      SourceReport report,
      BackOff backOff,
      MonotonicClock clock) {
    this.source = source;
    this.link = link;
    this.reader = reader;
    this.report = report;
    this.backOff = backOff;
    this.clock = clock;
    this.thread = new Thread(this::run, "source-" + source);
    this.thread.setDaemon(true);
  }

  /**
   * The port's id.
   *
   * @return as the config names it
   */
  public String source() {
    return source;
  }

  /** Begins to read; at most once. */
  public void start() {
    thread.start();
  }

  /**
   * Stops reading, within two seconds whatever the device does; idempotent. Bytes of a frame that
   * has not ended are dropped, and no event tells of the stop, since a stop is no loss.
   */
  @Override
  public void close() {
    stop.countDown();
    thread.interrupt();
    long from = System.nanoTime();
    try {
      thread.join(OWN_ACCORD.toMillis());
      while (thread.isAlive() && System.nanoTime() - from < CLOSE_LIMIT.toNanos()) {
        link.close();
        thread.join(ByteLink.TICK_MILLIS);
      }
    } catch (InterruptedException hurried) {
      Thread.currentThread().interrupt();
    }
    if (thread.isAlive()) {
      LOG.warn("Source {}: its thread still waits for {} and is left behind", source, link.name());
    }
  }

  private void run() {
    boolean orderly = false;
    try {
      while (!stopping()) {
        attend();
      }
      orderly = true;
    } catch (InterruptedException asked) {
      orderly = stopping();
    } finally {
      link.close();
      link.release();
      if (orderly) {
        report.stopped();
      } else {
        report.failed();
      }
    }
  }

  /** One life of the link, and the wait after it. */
  private void attend() throws InterruptedException {
    long openedAt = clock.nanos();
    try {
      link.open();
      reader.sayConnected();
      reader.readUntilGone(this::stopping);
      if (!stopping()) {
        report.state(false, "lost", "lost " + link.name());
      }
    } catch (LinkException failed) {
      if (!stopping()) {
        report.state(false, failed.key(), failed.detail());
      }
    } catch (RuntimeException fault) {
      LOG.error("Source {}: the link failed by a fault of the agent", source, fault);
      report.state(false, "fault", "fault of the agent at " + link.name() + ": " + fault);
    }
    link.close();
    if (clock.nanos() - openedAt >= STEADY.toNanos()) {
      backOff.reset();
    }
    await(backOff.next());
  }

  /** Waits, but not on when a device that was gone is back. */
  private void await(Duration wait) throws InterruptedException {
    long from = clock.nanos();
    boolean wasGone = false;
    while (!stopping() && clock.nanos() - from < wait.toNanos()) {
      if (!link.isPresent()) {
        wasGone = true;
      } else if (wasGone) {
        backOff.reset();
        return;
      }
      long left = wait.toNanos() - (clock.nanos() - from);
      if (stop.await(Math.min(LOOK.toNanos(), Math.max(0, left)), TimeUnit.NANOSECONDS)) {
        return;
      }
    }
  }

  private boolean stopping() {
    return stop.getCount() == 0;
  }
}

package org.borewarden.agent.observe;

import ch.qos.logback.classic.AsyncAppender;
import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.classic.spi.LoggingEvent;
import java.util.concurrent.atomic.AtomicLong;
import org.slf4j.LoggerFactory;

/**
 * Hands log lines to a thread of its own, so that a log that nobody takes (a terminal that is
 * stopped, a pipe whose reader hangs, a network folder that is gone) holds up nobody who logs. What
 * does not fit in is dropped, and how many lines that were is said once the log is taken again. Any
 * thread.
 */
public final class UnblockedAppender extends AsyncAppender {
  /**
   * Lines that wait for the log to be taken, besides as many that the writing thread may have in
   * hand; those beyond are dropped.
   */
  static final int LINES_AT_MOST = 2048;

  /** How long an end waits for the lines that still wait. */
  static final int END_MILLIS = 1000;

  private final AtomicLong dropped = new AtomicLong();

  /** Called by Logback, which sets the appender behind it. */
  public UnblockedAppender() {
    setQueueSize(LINES_AT_MOST);
    setDiscardingThreshold(0);
    setNeverBlock(true);
    setMaxFlushTime(END_MILLIS);
  }

  /** Writes what waits, for a second at most, and ends logging: nothing is logged after it. */
  public static void end() {
    if (LoggerFactory.getILoggerFactory() instanceof LoggerContext context) {
      context.stop();
    }
  }

  @Override
  protected void append(ILoggingEvent event) {
    if (getRemainingCapacity() <= 1) {
      dropped.incrementAndGet();
      return;
    }
    long lines = dropped.getAndSet(0);
    if (lines > 0) {
      super.append(said(lines));
    }
    super.append(event);
  }

  private ILoggingEvent said(long lines) {
    LoggerContext context = (LoggerContext) getContext();
    return new LoggingEvent(
        UnblockedAppender.class.getName(),
        context.getLogger(UnblockedAppender.class),
        Level.WARN,
        "{} log lines were dropped: the log was not taken",
        null,
        new Object[] {lines});
  }
}

package org.borewarden.agent.observe;

import java.time.Duration;
import java.util.HashMap;
import java.util.Map;
import org.borewarden.agent.clock.MonotonicClock;
import org.slf4j.Logger;

/**
 * Logs the first of a fault that repeats, counts the rest, and says the count once an hour and when
 * it is over. Any thread.
 */
public final class FirstOf {
  /** Faults told apart; those beyond it are taken for one. */
  static final int FAULTS_AT_MOST = 256;

  /** How often a fault that stands is said again. */
  static final Duration SAID_AGAIN_AFTER = Duration.ofHours(1);

  private static final String MANY = "many faults";

  private final Logger log;
  private final MonotonicClock clock;
  private final Map<String, Fault> standing = new HashMap<>();

  /**
   * Begins with no fault.
   *
   * @param log where to say it
   * @param clock for the hour
   */
  public FirstOf(Logger log, MonotonicClock clock) {
    this.log = log;
    this.clock = clock;
  }

  /**
   * A fault was seen.
   *
   * @param key what makes it the same fault, such as the port and what failed
   * @param message where, expected, found
   */
  public synchronized void warn(String key, String message) {
    boolean room = standing.containsKey(key) || standing.size() < FAULTS_AT_MOST;
    Fault fault = standing.computeIfAbsent(room ? key : MANY, k -> new Fault());
    fault.count++;
    long now = clock.nanos();
    if (fault.count == 1) {
      log.warn("{}", message);
      fault.saidAtNanos = now;
    } else if (now - fault.saidAtNanos >= SAID_AGAIN_AFTER.toNanos()) {
      log.warn("{} (seen {} times)", message, fault.count);
      fault.saidAtNanos = now;
    }
  }

  /**
   * A fault is over; said once, and only if it stood.
   *
   * @param key the fault
   * @param message what is well again
   */
  public synchronized void over(String key, String message) {
    Fault fault = standing.remove(key);
    if (fault == null) {
      return;
    }
    if (fault.count == 1) {
      log.info("{}", message);
    } else {
      log.info("{} (the fault was seen {} times)", message, fault.count);
    }
  }

  /** How often a standing fault was seen, and when it was last said. */
  private static final class Fault {
    private long count;
    private long saidAtNanos;
  }
}

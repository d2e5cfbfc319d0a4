package org.borewarden.agent.service;

import java.io.IOException;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells the service manager how the agent does, by the protocol of sd_notify(3): {@code READY=1},
 * {@code WATCHDOG=1} as long as the loop turns, {@code STOPPING=1}. An agent whose loop stands
 * still is thus started anew; until then its silence takes the permit.
 *
 * <p>One thread feeds the watchdog; the other calls belong to the thread that starts and stops the
 * agent. A service manager that cannot be reached is logged once and never ends the agent.
 */
public final class ServiceManager implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(ServiceManager.class);
  private static final String SOCKET = "NOTIFY_SOCKET";
  private static final String WATCHDOG = "WATCHDOG_USEC";
  private static final String WATCHED = "WATCHDOG_PID";

  /** Feeds in the time in which one is wanted; two may come late or be lost. */
  private static final int FEEDS = 3;

  private final NotifySocket socket;
  private final Optional<Duration> watchdog;
  private Optional<Thread> feeding = Optional.empty();
  private volatile boolean told;

  private ServiceManager(NotifySocket socket, Optional<Duration> watchdog) {
    this.socket = socket;
    this.watchdog = watchdog;
  }

  /**
   * The service manager that started this process.
   *
   * @param environment the environment of the process
   * @param pid the process
   * @return empty where none started it, or it wants to hear nothing
   */
  public static Optional<ServiceManager> of(Map<String, String> environment, long pid) {
    String path = environment.getOrDefault(SOCKET, "");
    if (path.isEmpty()) {
      return Optional.empty();
    }
    try {
      return Optional.of(new ServiceManager(new NotifySocket(path), watchdog(environment, pid)));
    } catch (IllegalArgumentException unusable) {
      LOG.warn("{} is of no use: {}", SOCKET, unusable.getMessage());
      return Optional.empty();
    }
  }

  private static Optional<Duration> watchdog(Map<String, String> environment, long pid) {
    String micros = environment.getOrDefault(WATCHDOG, "");
    String watched = environment.getOrDefault(WATCHED, Long.toString(pid));
    if (!micros.matches("[1-9][0-9]{0,15}") || !watched.equals(Long.toString(pid))) {
      return Optional.empty();
    }
    return Optional.of(Duration.ofNanos(Long.parseLong(micros) * 1000));
  }

  /**
   * The agent runs. From now on the watchdog is fed, if one is asked for.
   *
   * @param turning whether the loop has turned of late; asked on the feeding thread
   */
  public void ready(BooleanSupplier turning) {
    tell("READY=1\nSTATUS=judging\n");
    watchdog.ifPresent(
        within -> {
          Thread thread = new Thread(() -> feed(within, turning), "watchdog-feed");
          thread.setDaemon(true);
          thread.start();
          feeding = Optional.of(thread);
        });
  }

  private void feed(Duration within, BooleanSupplier turning) {
    try {
      while (true) {
        if (turning.getAsBoolean()) {
          tell("WATCHDOG=1\n");
        }
        Thread.sleep(Math.max(1, within.toMillis() / FEEDS));
      }
    } catch (InterruptedException stop) {
      LOG.debug("the watchdog is fed no more");
    }
  }

  /** The agent stops. The watchdog goes on being fed until {@link #close}. */
  public void stopping() {
    tell("STOPPING=1\nSTATUS=stopping\n");
  }

  private void tell(String message) {
    try {
      socket.send(message);
    } catch (IOException | UnsatisfiedLinkError unheard) {
      if (!told) {
        told = true;
        LOG.warn("the service manager cannot be told: {}", unheard.getMessage());
      }
    }
  }

  @Override
  public void close() {
    feeding.ifPresent(Thread::interrupt);
  }
}

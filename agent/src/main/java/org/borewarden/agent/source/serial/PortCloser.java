package org.borewarden.agent.source.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.time.Duration;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Closes a serial port on a thread of its own, since a driver may hang in close after an unplug.
 * While one close hangs the port is not opened again, so that at most one thread is ever left.
 */
final class PortCloser {
  private static final Duration LIMIT = Duration.ofSeconds(1);
  private static final Logger LOG = LoggerFactory.getLogger(PortCloser.class);

  private final String device;
  private volatile Optional<Thread> last = Optional.empty();

  PortCloser(String device) {
    this.device = device;
  }

  boolean isClosing() {
    return last.map(Thread::isAlive).orElse(false);
  }

  /** Waits at most a second, also when interrupted, so that a stop does not leave the port open. */
  void close(SerialPort port) {
    Thread closing = new Thread(port::closePort, "close-" + device);
    closing.setDaemon(true);
    last = Optional.of(closing);
    closing.start();
    if (!endsInTime(closing)) {
      LOG.warn("The driver hangs in closing {}", device);
    }
  }

  private static boolean endsInTime(Thread closing) {
    long from = System.nanoTime();
    boolean interrupted = false;
    long leftMillis = LIMIT.toMillis();
    while (closing.isAlive() && leftMillis > 0) {
      try {
        closing.join(leftMillis);
      } catch (InterruptedException hurried) {
        interrupted = true;
      }
      leftMillis = LIMIT.minusNanos(System.nanoTime() - from).toMillis();
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
    return !closing.isAlive();
  }
}

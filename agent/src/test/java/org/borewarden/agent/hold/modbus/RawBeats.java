package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** Writes images to a controller as no agent would: good ones, then whatever the test says. */
final class RawBeats implements AutoCloseable {
  static final int BOOT_ID = 4;

  private static final int FIRST_GOOD = 1000;
  private static final Duration PERIOD = Duration.ofMillis(250);

  private final ControllerConnection connection;
  private final Thread thread = new Thread(this::run, "raw-beats");
  private Optional<Wrong> wrong = Optional.empty();
  private int good = FIRST_GOOD;
  private int bad;
  private boolean closed;

  /** Makes a block A. */
  interface Wrong {
    /** After the last good beat, the first, second and so on. */
    int[] after(int good, int count);
  }

  RawBeats(int port) throws Exception {
    connection = new ControllerConnection(ModbusClientOutputTest.config(port));
    connection.connect().get(30, TimeUnit.SECONDS);
    thread.setDaemon(true);
    thread.start();
  }

  private synchronized void run() {
    try {
      while (!closed) {
        connection.write(next()).get(30, TimeUnit.SECONDS);
        wait(PERIOD.toMillis());
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (Exception e) {
      throw new IllegalStateException("the controller does not take it", e);
    }
  }

  private int[] next() {
    return wrong
        .map(image -> image.after(good, ++bad))
        .orElseGet(() -> RegisterMap.blockA(++good, Images.permitted(), Answers.NONE));
  }

  /** From here on writes what this makes. */
  synchronized void goWrong(Wrong image) {
    wrong = Optional.of(image);
    notifyAll();
  }

  /** Goes on where it was good. */
  synchronized void goRight() {
    wrong = Optional.empty();
  }

  @Override
  public void close() {
    synchronized (this) {
      closed = true;
      notifyAll();
    }
    connection.close();
  }
}

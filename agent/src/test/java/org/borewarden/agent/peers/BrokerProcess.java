package org.borewarden.agent.peers;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.awaitility.Awaitility;

/** A broker that is a child process of the test. */
abstract class BrokerProcess implements TestBroker {
  private static final Duration READY_WITHIN = Duration.ofSeconds(60);

  private final int port = TestBroker.freePort();
  private Process process;

  /** The command that runs it on {@link #port()}; the process logs to its parent's nowhere. */
  abstract List<String> command();

  @SuppressWarnings("NullAway.Init") // launched by each subclass's start
  BrokerProcess() {}

  final void launch() {
    try {
      process =
          new ProcessBuilder(command())
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
    } catch (IOException missing) {
      throw new UncheckedIOException(missing);
    }
    Awaitility.await().atMost(READY_WITHIN).pollInterval(Duration.ofMillis(20)).until(this::ready);
  }

  private boolean ready() {
    if (!process.isAlive()) {
      throw new IllegalStateException(kind() + " ended with " + process.exitValue());
    }
    try (Socket socket = new Socket()) {
      socket.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 500);
      return true;
    } catch (IOException notYet) {
      return false;
    }
  }

  @Override
  public final int port() {
    return port;
  }

  @Override
  public final void kill() {
    process.destroyForcibly();
    awaitEnd();
  }

  /** Ends it as a service manager would. */
  final void terminate() {
    process.destroy();
    awaitEnd();
  }

  private void awaitEnd() {
    try {
      if (!process.waitFor(20, TimeUnit.SECONDS)) {
        throw new IllegalStateException(kind() + " does not end");
      }
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public final void restart() {
    launch();
  }

  @Override
  public final void freeze() {
    signal("STOP");
  }

  @Override
  public final void thaw() {
    signal("CONT");
  }

  private void signal(String name) {
    try {
      Process kill = new ProcessBuilder("kill", "-" + name, Long.toString(process.pid())).start();
      if (kill.waitFor() != 0) {
        throw new IllegalStateException("kill -" + name + " failed");
      }
    } catch (IOException missing) {
      throw new UncheckedIOException(missing);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    process.destroyForcibly();
    awaitEnd();
  }
}

package org.borewarden.agent.peers;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.util.List;
import java.util.concurrent.ThreadLocalRandom;
import org.testcontainers.DockerClientFactory;

/**
 * A broker for a test, one contract three ways: a container where Docker is there, else a mosquitto
 * process, else the demo's embedded broker as a process of its own.
 */
public interface TestBroker extends AutoCloseable {
  /** Below where systems begin to give ports to clients: those come and go all the time. */
  int LOWEST_PORT = 10_000;

  /** From here on Linux gives ports to clients. */
  int HIGHEST_PORT = 32_768;

  /**
   * Where it listens on loopback.
   *
   * @return the TCP port, the same after a restart
   */
  int port();

  /**
   * Which of the three it is.
   *
   * @return for the test's report
   */
  String kind();

  /** Ends it at once, as a crash would. */
  void kill();

  /** Starts it again on the same port after {@link #kill()}. */
  void restart();

  /** Stops it answering without closing anything. */
  void freeze();

  /** Lets it go on after {@link #freeze()}. */
  void thaw();

  @Override
  void close();

  /**
   * Starts the first of the three that this machine has.
   *
   * @return a broker with its defaults that lets anybody in
   */
  static TestBroker start() {
    if (DockerClientFactory.instance().isDockerAvailable()) {
      return ContainerBroker.start();
    }
    if (Peers.available("mosquitto")) {
      return MosquittoProcess.start();
    }
    return EmbeddedBroker.start();
  }

  /**
   * A mosquitto process, for tests that need its configuration.
   *
   * @param lines of its configuration
   * @return the broker
   */
  static TestBroker mosquitto(String... lines) {
    Peers.require("mosquitto");
    return MosquittoProcess.start(List.of(lines));
  }

  /**
   * A port that is free now.
   *
   * @return on loopback
   */
  static int freePort() {
    for (int tried = 0; tried < 100; tried++) {
      int port = ThreadLocalRandom.current().nextInt(LOWEST_PORT, HIGHEST_PORT);
      try (ServerSocket probe = new ServerSocket(port, 1, InetAddress.getLoopbackAddress())) {
        return probe.getLocalPort();
      } catch (IOException taken) {
        // Then another.
      }
    }
    throw new IllegalStateException("no free port between " + LOWEST_PORT + " and " + HIGHEST_PORT);
  }
}

package org.borewarden.agent.peers;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.List;
import org.testcontainers.containers.GenericContainer;
import org.testcontainers.utility.DockerImageName;

/** mosquitto in a container, for machines with Docker and its command line. Not run so far. */
final class ContainerBroker implements TestBroker {
  private static final DockerImageName IMAGE = DockerImageName.parse("eclipse-mosquitto:2.0.22");
  private static final int INSIDE = 1883;

  private final GenericContainer<?> container;
  private final int port;

  private ContainerBroker(GenericContainer<?> container, int port) {
    this.container = container;
    this.port = port;
  }

  /** Starts one that lets anybody in. */
  static ContainerBroker start() {
    int port = TestBroker.freePort();
    GenericContainer<?> container =
        new GenericContainer<>(IMAGE)
            .withCommand("mosquitto", "-c", "/mosquitto-no-auth.conf")
            .withExposedPorts(INSIDE);
    // A fixed port, so that it is the same after a restart.
    container.setPortBindings(List.of("127.0.0.1:" + port + ":" + INSIDE));
    container.start();
    return new ContainerBroker(container, port);
  }

  @Override
  public int port() {
    return port;
  }

  @Override
  public String kind() {
    return "container";
  }

  @Override
  public void kill() {
    docker("kill");
  }

  @Override
  public void restart() {
    docker("start");
  }

  @Override
  public void freeze() {
    docker("pause");
  }

  @Override
  public void thaw() {
    docker("unpause");
  }

  private void docker(String what) {
    try {
      Process process = new ProcessBuilder("docker", what, container.getContainerId()).start();
      if (process.waitFor() != 0) {
        throw new IllegalStateException("docker " + what + " failed");
      }
    } catch (IOException missing) {
      throw new UncheckedIOException(missing);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    container.stop();
  }
}

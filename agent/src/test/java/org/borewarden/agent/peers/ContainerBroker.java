package org.borewarden.agent.peers;

import org.testcontainers.containers.GenericContainer;
import org.testcontainers.utility.DockerImageName;

/** mosquitto in a container, for machines with Docker; it was never run on one without. */
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
    container.setPortBindings(java.util.List.of("127.0.0.1:" + port + ":" + INSIDE));
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
    container.getDockerClient().killContainerCmd(container.getContainerId()).exec();
  }

  @Override
  public void restart() {
    container.getDockerClient().startContainerCmd(container.getContainerId()).exec();
  }

  @Override
  public void freeze() {
    container.getDockerClient().pauseContainerCmd(container.getContainerId()).exec();
  }

  @Override
  public void thaw() {
    container.getDockerClient().unpauseContainerCmd(container.getContainerId()).exec();
  }

  @Override
  public void close() {
    container.stop();
  }
}

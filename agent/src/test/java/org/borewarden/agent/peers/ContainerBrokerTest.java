package org.borewarden.agent.peers;

import org.junit.jupiter.api.Assumptions;
import org.testcontainers.DockerClientFactory;

/** The contract asked of a container. */
class ContainerBrokerTest extends BrokerContract {
  @Override
  TestBroker broker() {
    Assumptions.assumeTrue(
        DockerClientFactory.instance().isDockerAvailable(), "skipped: Docker is not there");
    return ContainerBroker.start();
  }
}

package org.borewarden.agent.peers;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Assumptions;

/**
 * The demo's broker as a process of its own, so that none of its libraries is on our class path.
 * There once the demo broker's module is packaged.
 */
public final class EmbeddedBroker extends BrokerProcess {
  private static final Path TARGET = Path.of("..", "demo", "broker", "target");

  private EmbeddedBroker() {}

  /**
   * Starts it, or skips the test where it is not built.
   *
   * @return the broker
   */
  static EmbeddedBroker start() {
    Assumptions.assumeTrue(
        Files.isDirectory(TARGET.resolve("lib")),
        "skipped: the demo broker is not packaged; mvn verify builds it");
    EmbeddedBroker broker = new EmbeddedBroker();
    broker.launch();
    return broker;
  }

  @Override
  public String kind() {
    return "embedded broker";
  }

  @Override
  List<String> command() {
    return List.of(
        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
        "-cp",
        TARGET.resolve("lib") + "/*:" + TARGET + "/*",
        "org.borewarden.demo.broker.Broker",
        "--port",
        Integer.toString(port()));
  }
}

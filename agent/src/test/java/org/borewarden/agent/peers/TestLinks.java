package org.borewarden.agent.peers;

import java.net.URI;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import org.awaitility.Awaitility;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.Will;

/** Links for tests: short waits, a seed. */
public final class TestLinks {
  private static final long SEED = 20_260_302L;

  private TestLinks() {}

  /**
   * A broker's config.
   *
   * @param port on loopback
   * @param version the protocol
   * @return keep-alive 5 s, window 19
   */
  public static BrokerConfig broker(int port, BrokerConfig.Version version) {
    return new BrokerConfig(
        URI.create("mqtt://127.0.0.1:" + port),
        version,
        "northworks-cell-4-" + Long.toHexString(System.nanoTime()),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Duration.ofSeconds(5),
        19,
        64 * 1024);
  }

  /**
   * Settings with short waits.
   *
   * @param name the link's name
   * @param broker the broker
   * @param will a will
   * @return waits from 0.05 s to 0.5 s
   */
  public static LinkSettings settings(String name, BrokerConfig broker, Optional<Will> will) {
    return new LinkSettings(
        name,
        broker,
        will,
        Duration.ofSeconds(10),
        Duration.ofMillis(50),
        Duration.ofMillis(500),
        Duration.ofSeconds(30));
  }

  /**
   * A link.
   *
   * @param settings what it needs to know
   * @return not started
   */
  public static MqttLink link(LinkSettings settings) {
    return new MqttLink(settings, new Random(SEED), System::nanoTime);
  }

  /**
   * Starts a link and waits until it stands.
   *
   * @param link the link
   * @return the same
   */
  public static MqttLink started(MqttLink link) {
    link.start();
    Awaitility.await()
        .atMost(Duration.ofSeconds(30))
        .pollInterval(Duration.ofMillis(10))
        .until(link::connected);
    return link;
  }

  /**
   * Writes down the changes of a link.
   *
   * @param link not started
   * @return a growing list
   */
  public static List<LinkState> changes(MqttLink link) {
    List<LinkState> changes = new CopyOnWriteArrayList<>();
    link.listen(changes::add);
    return changes;
  }
}

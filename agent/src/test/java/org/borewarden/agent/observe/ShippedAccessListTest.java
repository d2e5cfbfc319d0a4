package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.borewarden.agent.observe.ShippedBroker.ROLES;
import static org.borewarden.agent.observe.ShippedBroker.ROOT;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.CopyOnWriteArrayList;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.mqtt.CommandAnswers;
import org.borewarden.agent.command.mqtt.MqttCommands;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.BrokerConfig.Tls;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.engine.Event;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The agent's own door behind a mosquitto with the shipped access list and certificates: who has
 * not the right cannot publish on a role's topic, so the agent hears nothing of it; who has, is
 * heard.
 */
class ShippedAccessListTest {
  /** Fewer than the client may have under way at once, and than the door records one by one. */
  private static final int EACH = 15;

  private static final String RELEASE =
      "{\"id\":\"0195570a-7c00-7000-8000-000000000001\",\"challenge\":\"0123456789abcdef\","
          + "\"who\":\"m.weber\",\"cell\":\"cell-4\",\"hold\":1,\"revision\":2,"
          + "\"reason\":\"looked\",\"needed\":\"yes\",\"evidence\":[],\"contain\":\"measured\"}";

  @TempDir private Path folder;
  private final List<Event> heard = new CopyOnWriteArrayList<>();

  @Test
  void whoHasNotTheRightReachesNoRolesTopicAndTheAgentHearsOnlyWhoHas() throws Exception {
    Topics topics = new Topics(ROOT);
    int denied = 0;
    try (ShippedBroker broker = ShippedBroker.start(folder);
        MqttLink link =
            TestLinks.link(TestLinks.settings("control", agent(broker), Optional.empty()));
        MqttCommands door = door(link, topics)) {
      TestLinks.started(link);
      for (String account : ROLES) {
        for (String role : ROLES) {
          String said = release(broker, account, topics.of("command/" + role + "/release"));
          int refused = said.split(ShippedBroker.DENIED, -1).length - 1;
          assertThat(refused)
              .as("%s as %s", account, role)
              .isEqualTo(account.equals(role) ? 0 : EACH);
          denied += refused;
        }
      }
      await()
          .atMost(Duration.ofSeconds(30))
          .until(() -> heard.size() + door.dropped() >= (long) ROLES.size() * EACH);
    }
    assertThat(denied).isEqualTo(ROLES.size() * (ROLES.size() - 1) * EACH);
    Map<String, Integer> proved = new TreeMap<>();
    heard.forEach(event -> proved.merge(provedOf(event), 1, Integer::sum));
    Map<String, Integer> expected = new TreeMap<>();
    ROLES.forEach(role -> expected.put("topic:" + role, EACH));
    assertThat(proved).isEqualTo(expected);
  }

  private static String release(ShippedBroker broker, String account, String topic)
      throws Exception {
    List<String> words = new ArrayList<>(broker.asRole(account));
    words.addAll(List.of("--repeat", Integer.toString(EACH), "-m", RELEASE));
    return broker.publish(broker.passwordPort(), words, topic).output();
  }

  private static String provedOf(Event event) {
    return event instanceof Event.CommandGiven given
        ? given.command().authenticatedAs()
        : ((Event.CommandRefused) event).authenticatedAs();
  }

  /** The agent's account, by its certificate. */
  private static BrokerConfig agent(ShippedBroker broker) {
    return new BrokerConfig(
        URI.create("mqtts://localhost:" + broker.certificatePort()),
        Version.V5,
        "northworks-cell-4",
        Optional.empty(),
        Optional.empty(),
        Optional.of(
            new Tls(
                Optional.of(broker.certificate("ca.crt")),
                Optional.of(broker.certificate(ShippedBroker.AGENT + ".crt")),
                Optional.of(broker.certificate(ShippedBroker.AGENT + ".key")))),
        Duration.ofSeconds(5),
        19,
        65_536);
  }

  private MqttCommands door(MqttLink link, Topics topics) throws Exception {
    MqttCommands commands =
        MqttCommands.of(
                new CommandConfig(
                    CommandConfig.Trust.BROKER,
                    Map.of(),
                    Optional.empty(),
                    Map.of(),
                    Optional.empty()),
                link,
                topics,
                new CommandReader(Instant::now, () -> false),
                new Hearing(),
                new CommandAnswers(link, System::nanoTime),
                System::nanoTime)
            .orElseThrow();
    commands.start();
    return commands;
  }

  private final class Hearing implements EventSink {
    @Override
    public void put(Event event) {
      heard.add(event);
    }

    @Override
    public boolean offer(Event event) {
      return heard.add(event);
    }
  }
}

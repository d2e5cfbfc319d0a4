package org.borewarden.agent.command.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.peers.TestSubscriber.Heard;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class MqttCommandsTest {
  private static final Duration SOON = Duration.ofSeconds(30);
  private static final Topics TOPICS = new Topics("northworks/housings/cell-4");
  private static final String ANSWERS = "northworks/housings/cell-4/answer/#";
  private static final String ANSWER = "northworks/housings/cell-4/answer/board-1";
  private static final String ID = "0195570a-7c00-7abc-8def-0123456789ab";

  private final ObjectMapper json = new ObjectMapper();
  private final FakeSink sink = new FakeSink();

  @ParameterizedTest
  @EnumSource(Version.class)
  void aCommandBecomesAnEventAndItsAnswerGoesWhereItAsks(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), version)) {
      CommandAnswers answers = new CommandAnswers(link, System::nanoTime);
      try (MqttCommands commands = started(link, answers)) {
        other.say(command("setter/tool-changed"), toolChanged(ANSWER), false);
        await().atMost(SOON).until(() -> sink.events().size() == 1);
        Command command = ((Event.CommandGiven) sink.events().get(0)).command();
        assertThat(command.role()).isEqualTo(Role.SETTER);
        assertThat(command.authenticatedAs()).isEqualTo("topic:setter");
        assertThat(command.order()).isEqualTo(new Order.ToolChanged("cell-4", Optional.of("T12")));
        answers.answer(
            new Decision.CommandAnswered(
                ID, AnswerCode.ACCEPTED, Optional.of("cell-4"), 3, 9, "a new segment begins"),
            512,
            Optional.of(Phase.NOT_READY));
        Heard answer = other.await(heard -> true);
        assertThat(answer.topic()).isEqualTo(ANSWER);
        assertThat(json.readTree(answer.text()))
            .isEqualTo(
                json.readTree(
                    ("{'id':'"
                            + ID
                            + "','code':'accepted','text_key':'answer.accepted','detail':'a new segment begins',"
                            + "'cell':'cell-4','state':'not-ready','hold':3,'revision':9,'seq':512}")
                        .replace('\'', '"')));
        assertThat(commands.dropped()).isZero();
      }
    }
  }

  @Test
  void anMqtt5SenderGetsHisCorrelationBack() throws Exception {
    List<String> correlations = new CopyOnWriteArrayList<>();
    try (TestBroker broker = TestBroker.start();
        MqttLink link = link(broker.port(), Version.V5);
        MqttLink asker = link(broker.port(), Version.V5)) {
      asker.subscribe(
          List.of(ANSWERS),
          message ->
              correlations.add(
                  message
                      .correlation()
                      .map(bytes -> StandardCharsets.US_ASCII.decode(bytes).toString())
                      .orElse("none")));
      TestLinks.started(asker);
      try (MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
        ask(broker.port(), command("inspector/release"), "{}", ANSWER, "c-17");
        await().atMost(SOON).until(() -> correlations.size() == 1);
        assertThat(correlations).containsExactly("c-17");
        assertThat(commands.dropped()).isZero();
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aRefusedCommandIsAnsweredAndBecomesAnEventToo(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), version);
        MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
      other.say(command("inspector/tool-changed"), toolChanged(ANSWER), false);
      JsonNode answer = json.readTree(other.await(heard -> true).text());
      assertThat(answer.get("code").textValue()).isEqualTo("no-right");
      assertThat(answer.get("id").textValue()).isEqualTo(ID);
      await().atMost(SOON).until(() -> sink.events().size() == 1);
      assertThat(sink.events().get(0))
          .isEqualTo(
              new Event.CommandRefused(
                  AnswerCode.NO_RIGHT,
                  "tool-changed",
                  "topic:inspector",
                  Optional.of(ID),
                  "the role inspector may not tool-changed"));
      assertThat(commands.dropped()).isZero();
    }
  }

  @Test
  void whatNobodyMayAskForIsRefusedByItsTopic() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), Version.V3_1_1);
        MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
      other.say(command("director/release"), "{}", false);
      other.say(command("setter/start-motion"), "{}", false);
      other.say(command("setter/release"), "not json", false);
      await().atMost(SOON).until(() -> sink.events().size() == 3);
      assertThat(sink.events())
          .extracting(event -> ((Event.CommandRefused) event).code())
          .containsExactly(AnswerCode.NO_RIGHT, AnswerCode.MALFORMED, AnswerCode.MALFORMED);
      assertThat(commands.dropped()).isZero();
    }
  }

  @Test
  void aRetainedCommandIsRefusedWhetherItWaitedOrJustCame() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), Version.V5)) {
      other.say(command("setter/tool-changed"), toolChanged(ANSWER), true);
      try (MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
        await().atMost(SOON).until(() -> sink.events().size() == 1);
        other.say(command("cell/stopped"), "{\"id\":\"" + ID + "\",\"cell\":\"cell-4\"}", true);
        await().atMost(SOON).until(() -> sink.events().size() == 2);
        assertThat(sink.events())
            .allMatch(
                event ->
                    event instanceof Event.CommandRefused refused
                        && refused.code() == AnswerCode.RETAINED);
        assertThat(commands.dropped()).isZero();
      }
    }
  }

  @Test
  void nobodyMakesTheAgentSpeakOutsideOfTheAnswers() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = link(broker.port(), Version.V5);
        MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
      other.say(command("setter/tool-changed"), toolChanged(TOPICS.of("hold/cell-4")), false);
      ask(
          broker.port(),
          command("setter/tool-changed"),
          toolChanged(ANSWER),
          TOPICS.of("hold/cell-4"),
          "c");
      await().atMost(SOON).until(() -> sink.events().size() == 2);
      assertThat(sink.events())
          .allMatch(
              event ->
                  event instanceof Event.CommandRefused refused
                      && refused.code() == AnswerCode.MALFORMED
                      && refused.detail().contains("expected a topic below"));
      other.say(TOPICS.of("end"), "end", false);
      other.await(heard -> heard.topic().equals(TOPICS.of("end")));
      assertThat(other.heard()).extracting(Heard::topic).doesNotContain(TOPICS.of("hold/cell-4"));
      assertThat(commands.dropped()).isZero();
    }
  }

  @Test
  void aFullInboxIsAnsweredAndCounted() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), Version.V5);
        MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
      sink.full(true);
      other.say(command("setter/tool-changed"), toolChanged(ANSWER), false);
      assertThat(json.readTree(other.await(heard -> true).text()).get("code").textValue())
          .isEqualTo("not-recorded");
      assertThat(commands.dropped()).isEqualTo(1);
    }
  }

  @Test
  void aFloodOfNonsenseDoesNotFillTheJournal() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link = link(broker.port(), Version.V5);
        MqttCommands commands = started(link, new CommandAnswers(link, System::nanoTime))) {
      long before = System.nanoTime();
      for (int n = 0; n < 1000; n++) {
        other.say(command("setter/release"), "nonsense", false);
      }
      other.say(command("setter/tool-changed"), toolChanged(ANSWER), false);
      await()
          .atMost(SOON)
          .until(() -> sink.events().stream().anyMatch(Event.CommandGiven.class::isInstance));
      long seconds = TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - before) + 1;
      assertThat(sink.events()).hasSizeLessThan((int) (60 + 10 * seconds));
      assertThat(commands.dropped()).isZero();
    }
  }

  @Test
  void nobodyIsBelievedUnlessTheConfigSaysSo() throws Exception {
    try (MqttLink link = link(1, Version.V5)) {
      assertThat(commands(CommandConfig.DEFAULT, link, new CommandAnswers(link, System::nanoTime)))
          .isEmpty();
    }
  }

  private MqttCommands started(MqttLink link, CommandAnswers answers) throws Exception {
    CommandConfig config =
        new CommandConfig(
            CommandConfig.Trust.BROKER, Map.of(), Optional.empty(), Map.of(), Optional.empty());
    MqttCommands commands = commands(config, link, answers).orElseThrow();
    commands.start();
    TestLinks.started(link);
    return commands;
  }

  private Optional<MqttCommands> commands(
      CommandConfig config, MqttLink link, CommandAnswers answers) throws Exception {
    CommandReader reader = new CommandReader(java.time.Instant::now, () -> false);
    return MqttCommands.of(config, link, TOPICS, reader, sink, answers, System::nanoTime);
  }

  private static void ask(int port, String topic, String text, String answerTo, String correlation)
      throws Exception {
    MqttAsyncClient client =
        new MqttAsyncClient("tcp://127.0.0.1:" + port, "asker", new MemoryPersistence());
    client.connect(new MqttConnectionOptions()).waitForCompletion(10_000);
    MqttMessage message = new MqttMessage(text.getBytes(StandardCharsets.UTF_8));
    MqttProperties properties = new MqttProperties();
    properties.setResponseTopic(answerTo);
    properties.setCorrelationData(correlation.getBytes(StandardCharsets.US_ASCII));
    message.setProperties(properties);
    client.publish(topic, message).waitForCompletion(10_000);
    client.disconnect().waitForCompletion(10_000);
    client.close();
  }

  private static String command(String roleAndName) {
    return TOPICS.of("command/" + roleAndName);
  }

  private static String toolChanged(String answerTo) {
    return ("{'id':'" + ID + "','cell':'cell-4','tool':'T12','answer_to':'" + answerTo + "'}")
        .replace('\'', '"');
  }

  private static MqttLink link(int port, Version version) {
    return TestLinks.link(
        TestLinks.settings("control", TestLinks.broker(port, version), Optional.empty()));
  }
}

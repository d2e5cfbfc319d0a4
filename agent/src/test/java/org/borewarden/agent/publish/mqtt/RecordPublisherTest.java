package org.borewarden.agent.publish.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.MosquittoProcess;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.peers.TestSubscriber.Heard;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class RecordPublisherTest {
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final Topics TOPICS = new Topics("northworks/housings/cell-4");
  private static final String RECORDS = "northworks/housings/cell-4/verdict/#";

  private final ObjectMapper json = new ObjectMapper();
  private final FakeOutbox outbox = new FakeOutbox();
  private final List<String> deliveries = new CopyOnWriteArrayList<>();
  private final List<Long> acknowledged = new CopyOnWriteArrayList<>();
  private final List<String> asideKeys = new CopyOnWriteArrayList<>();

  @ParameterizedTest
  @EnumSource(Version.class)
  void aRecordCarriesItsEnvelopeAndItsBody(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), version);
        RecordPublisher publisher = started(link)) {
      outbox.add("verdict/bearing-seat", 0);
      outbox.add("verdict/bearing-seat", 3);
      Heard second = other.await(heard -> heard.text().contains("\"seq\":2"));
      assertThat(json.readTree(second.text()))
          .isEqualTo(
              json.readTree(
                  "{'agent':'cell-4','journal':'j1','seq':2,'prev':1,'at':'2026-03-02T14:00:00.002Z','rules':'r1','fill':'xxx'}"
                      .replace('\'', '"')));
      assertThat(second.retained()).isFalse();
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(publisher.setAside()).isZero();
      await().atMost(SOON).until(() -> deliveries.contains("true: the broker delivers"));
    }
  }

  @Test
  void historyExpiresAndWhatStandsDoesNotAndBothNameTheRules() throws Exception {
    Path program = Peers.require("mosquitto_sub");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        MqttLink link = link(broker.port(), Version.V5)) {
      // Topic, seconds to live, user properties.
      Process other =
          new ProcessBuilder(
                  "stdbuf",
                  "-oL",
                  program.toString(),
                  "-V",
                  "5",
                  "-p",
                  "" + broker.port(),
                  "-q",
                  "1",
                  "-W",
                  "60",
                  "-t",
                  TOPICS.of("#"),
                  "-F",
                  "%t %E %P",
                  "-d")
              .redirectErrorStream(true)
              .start();
      try (var said =
              new BufferedReader(
                  new InputStreamReader(other.getInputStream(), StandardCharsets.UTF_8));
          RecordPublisher publisher = startedOnce(said, link)) {
        outbox.add("verdict/bearing-seat", 0);
        outbox.add("alert/forecast", 0);
        assertThat(after(said, TOPICS.of("verdict/bearing-seat")))
            .isEqualTo("172800 schema:1 rules:r1");
        assertThat(after(said, TOPICS.of("alert/forecast"))).isEqualTo(" schema:1 rules:r1");
        await().atMost(SOON).until(() -> outbox.waiting() == 0);
        assertThat(publisher.setAside()).isZero();
      } finally {
        other.destroyForcibly();
      }
      assertThat(acknowledged).hasSize(2).allMatch(nanos -> nanos > 0);
    }
  }

  private RecordPublisher startedOnce(BufferedReader said, MqttLink link) throws Exception {
    String line = "";
    while (!line.contains("SUBACK")) {
      line = said.readLine();
    }
    return started(link);
  }

  private static String after(BufferedReader said, String topic) throws Exception {
    String line = "";
    while (!line.startsWith(topic + " ")) {
      line = said.readLine();
    }
    return line.substring(topic.length() + 1);
  }

  @Test
  void whatIsSentAgainIsTheSameToTheLastByteAndNoOldAlertStandsAsTheLatest() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = link(broker.port(), Version.V5);
        RecordPublisher publisher = started(link)) {
      outbox.add("alert/forecast", 1);
      for (int n = 0; n < 20; n++) {
        outbox.add("verdict/bearing-seat", n);
      }
      outbox.add("alert/forecast", 2);
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      other.await(heard -> heard.text().contains("\"seq\":22,"));
      outbox.sendAgain(1, 5);
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      outbox.add("verdict/end", 0);
      other.await(heard -> heard.text().contains("\"seq\":23,"));
      assertThat(publisher.setAside()).isZero();
      for (int seq = 1; seq <= 5; seq++) {
        String mark = "\"seq\":" + seq + ",";
        List<String> texts =
            other.heard().stream().map(Heard::text).filter(text -> text.contains(mark)).toList();
        assertThat(texts).as("seq %s", seq).hasSize(2);
        assertThat(texts.get(0)).isEqualTo(texts.get(1));
      }
      try (TestSubscriber late = TestSubscriber.on(broker.port(), TOPICS.of("#"))) {
        Heard kept = late.await(heard -> heard.topic().equals(TOPICS.of("alert/forecast")));
        assertThat(kept.text()).contains("\"seq\":22,");
      }
    }
  }

  @Test
  void anAlertIsKeptByTheBroker() throws Exception {
    try (TestBroker broker = TestBroker.start();
        MqttLink link = link(broker.port(), Version.V5);
        RecordPublisher publisher = started(link)) {
      outbox.add("alert/forecast", 0);
      outbox.add("verdict/bearing-seat", 0);
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(publisher.setAside()).isZero();
      try (TestSubscriber late = TestSubscriber.on(broker.port(), TOPICS.of("#"))) {
        Heard kept = late.await(heard -> true);
        assertThat(kept.topic()).isEqualTo(TOPICS.of("alert/forecast"));
        assertThat(kept.retained()).isTrue();
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aBrokerThatIsRestartedUnderLoadTakesTheWholeOutboxInOrder(Version version) throws Exception {
    try (MosquittoProcess broker =
            (MosquittoProcess)
                TestBroker.mosquitto(
                    "allow_anonymous true", "persistence true", "max_queued_messages 0");
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), version);
        RecordPublisher publisher = started(link)) {
      for (int round = 0; round < 3; round++) {
        fill(1000);
        await().atMost(SOON).until(() -> outbox.waiting() < 700);
        broker.bounce();
      }
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(new HashSet<>(outbox.acknowledged())).hasSize(3000);
      assertThat(publisher.setAside()).isZero();
      // Whether the other client finds back to a broker that comes and goes is not our promise.
      assertOrderPerTopic(other);
    }
  }

  @Test
  void aBrokerThatIsKilledUnderLoadLosesNothingOfTheOutbox() throws Exception {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), Version.V5);
        RecordPublisher publisher = started(link)) {
      for (int round = 0; round < 4; round++) {
        fill(1000);
        await().atMost(SOON).until(() -> outbox.waiting() < 700);
        broker.kill();
        broker.restart();
      }
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(new HashSet<>(outbox.acknowledged())).hasSize(4000);
      assertThat(publisher.setAside()).isZero();
      // The broker forgets what it acknowledged, so only the order can be asked of the subscriber.
      assertOrderPerTopic(other);
    }
  }

  @Test
  void aDeniedTopicIsSetAsideAndTheOthersGoOn(@TempDir Path folder) throws Exception {
    Path rights = folder.resolve("acl");
    Files.writeString(
        rights,
        "topic readwrite northworks/#\ntopic deny northworks/housings/cell-4/verdict/denied\n");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "acl_file " + rights);
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), Version.V5);
        RecordPublisher publisher = started(link)) {
      for (int n = 0; n < 20; n++) {
        outbox.add("verdict/denied", 1);
        outbox.add("verdict/allowed", 1);
      }
      await().atMost(Duration.ofSeconds(5)).until(() -> seqs(other).size() == 20);
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(outbox.aside()).hasSize(20);
      assertThat(outbox.aside().values())
          .allMatch(why -> why.equals("not authorised: refused by access rights (0x87)"));
      assertThat(publisher.setAside()).isEqualTo(20);
      assertThat(asideKeys).hasSize(20).containsOnly("no-right");
      assertOrderPerTopic(other);
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aDeniedCanaryIsFoundWithinSeconds(Version version, @TempDir Path folder) throws Exception {
    Path rights = folder.resolve("acl");
    Files.writeString(rights, "topic readwrite somewhere/else/#\n");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "acl_file " + rights);
        MqttLink link = link(broker.port(), version);
        RecordPublisher publisher = started(link)) {
      await().atMost(Duration.ofSeconds(15)).until(() -> !deliveries.isEmpty());
      assertThat(deliveries.get(0)).startsWith("false: the broker ");
      assertThat(deliveries.get(0)).containsAnyOf("refuses", "accepts but does not deliver");
      assertThat(publisher.setAside()).isZero();
    }
  }

  @Test
  void aPayloadOverOurOwnLimitIsSetAsideUnsent() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), Version.V5);
        RecordPublisher publisher = started(link)) {
      long tooLong = outbox.add("verdict/bearing-seat", 70_000);
      outbox.add("verdict/bearing-seat", 1);
      other.await(heard -> heard.text().contains("\"seq\":2"));
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(outbox.aside().get(tooLong)).contains("payload of").contains("at most 65536");
      assertThat(publisher.setAside()).isEqualTo(1);
    }
  }

  @Test
  void aPacketOverTheBrokersAnnouncedLimitIsSetAsideUnsent() throws Exception {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "max_packet_size 2000");
        MqttLink link = link(broker.port(), Version.V5)) {
      List<LinkState> changes = TestLinks.changes(link);
      try (RecordPublisher publisher = started(link)) {
        long tooLong = outbox.add("verdict/bearing-seat", 3000);
        outbox.add("verdict/bearing-seat", 1);
        await().atMost(SOON).until(() -> outbox.waiting() == 0);
        assertThat(outbox.aside().get(tooLong)).contains("the broker takes 2000");
        assertThat(changes).hasSize(1);
        assertThat(publisher.setAside()).isEqualTo(1);
        assertThat(asideKeys).containsExactly("too-large");
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aRowAtWhichTheBrokerClosesIsFoundAndSetAsideAndTheOthersAreDelivered(Version version)
      throws Exception {
    // Without the announcement that MQTT 5 has for max_packet_size.
    try (TestBroker broker =
            TestBroker.mosquitto(
                "allow_anonymous true",
                version == Version.V5 ? "message_size_limit 2000" : "max_packet_size 2000");
        TestSubscriber other = TestSubscriber.on(broker.port(), RECORDS);
        MqttLink link = link(broker.port(), version);
        RecordPublisher publisher = started(link)) {
      for (int n = 0; n < 100; n++) {
        outbox.add("verdict/f" + n % 3, 1);
      }
      long poison = outbox.add("verdict/f1", 3000);
      for (int n = 0; n < 100; n++) {
        outbox.add("verdict/f" + n % 3, 1);
      }
      await().atMost(SOON).until(() -> outbox.waiting() == 0);
      assertThat(outbox.aside().keySet()).containsExactly(poison);
      assertThat(publisher.setAside()).isEqualTo(1);
      assertThat(asideKeys).hasSize(1).containsAnyOf("closed", "too-large");
      await().atMost(SOON).until(() -> seqs(other).size() == 200);
      assertOrderPerTopic(other);
    }
  }

  private void fill(int rows) {
    for (int n = 0; n < rows; n++) {
      outbox.add("verdict/f" + n % 7, 100);
    }
  }

  private Set<Long> seqs(TestSubscriber other) {
    Set<Long> seqs = new HashSet<>();
    other.heard().forEach(heard -> seqs.add(seq(heard)));
    return seqs;
  }

  private void assertOrderPerTopic(TestSubscriber other) {
    Map<String, Long> highest = new HashMap<>();
    Set<Long> seen = new HashSet<>();
    for (Heard heard : other.heard()) {
      long seq = seq(heard);
      if (seen.add(seq)) {
        assertThat(seq)
            .as("first time on %s", heard.topic())
            .isGreaterThan(highest.getOrDefault(heard.topic(), 0L));
        highest.put(heard.topic(), seq);
      }
    }
    assertThat(seen).isNotEmpty();
  }

  private long seq(Heard heard) {
    try {
      JsonNode node = json.readTree(heard.text());
      return node.get("seq").longValue();
    } catch (com.fasterxml.jackson.core.JsonProcessingException notJson) {
      throw new IllegalStateException(notJson);
    }
  }

  /** What the publisher tells. */
  private final class Told implements DeliveryListener {
    @Override
    public void changed(boolean delivers, String detail) {
      deliveries.add(delivers + ": " + detail);
    }

    @Override
    public void acknowledged(long nanos) {
      acknowledged.add(nanos);
    }

    @Override
    public void setAside(String why) {
      asideKeys.add(why);
    }
  }

  private static MqttLink link(int port, Version version) {
    return TestLinks.link(
        TestLinks.settings("record", TestLinks.broker(port, version), Optional.empty()));
  }

  private RecordPublisher started(MqttLink link) {
    RecordPublisher publisher =
        new RecordPublisher(
            link,
            outbox,
            new Envelope("cell-4", "j1"),
            TOPICS,
            new RecordLimits(65_536, Optional.of(Duration.ofDays(2))),
            System::nanoTime,
            new Told());
    publisher.start();
    TestLinks.started(link);
    return publisher;
  }
}

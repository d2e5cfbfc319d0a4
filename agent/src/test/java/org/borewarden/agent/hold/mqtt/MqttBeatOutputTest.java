package org.borewarden.agent.hold.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.peers.TestSubscriber.Heard;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class MqttBeatOutputTest {
  private static final Duration SOON = Duration.ofSeconds(30);
  private static final Topics TOPICS = new Topics("northworks/housings/cell-4");
  private static final Instant AT = Instant.parse("2026-03-02T14:05:06.789Z");

  private final ObjectMapper json = new ObjectMapper();
  private final AtomicLong clock = new AtomicLong();

  @ParameterizedTest
  @EnumSource(Version.class)
  void aBeatSaysThePermitAndIsNotKept(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = TestLinks.started(link(broker.port(), version));
        MqttBeatOutput output = output(link)) {
      output.beat(7, image(true, 3));
      Heard beat = other.await(heard -> true);
      assertThat(beat.topic()).isEqualTo(TOPICS.heartbeat("cell-4"));
      assertThat(json.readTree(beat.text()))
          .isEqualTo(
              json.readTree(
                  "{'cell':'cell-4','permit':true,'boot':4711,'beat':7,'hold':0,'revision':3,'at':'2026-03-02T14:05:06.789Z'}"
                      .replace('\'', '"')));
      other.say(TOPICS.of("end"), "end", true);
      try (TestSubscriber late = TestSubscriber.on(broker.port(), TOPICS.of("#"))) {
        assertThat(late.await(heard -> true).topic()).isEqualTo(TOPICS.of("end"));
      }
    }
  }

  @Test
  void beatsAreThinnedToThePeriodButAWithdrawalGoesAtOnce() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = TestLinks.started(link(broker.port(), Version.V5));
        MqttBeatOutput output = output(link)) {
      for (int beat = 1; beat <= 9; beat++) {
        output.beat(beat, image(true, 3));
        int sent = (beat + 1) / 2;
        await().atMost(SOON).until(() -> other.heard().size() == sent);
        clock.addAndGet(Duration.ofMillis(250).toNanos());
      }
      output.beat(10, image(false, 4));
      await().atMost(SOON).until(() -> other.heard().size() == 6);
      assertThat(beats(other)).containsExactly(1, 3, 5, 7, 9, 10);
      assertThat(json.readTree(other.heard().get(5).text()).get("permit").booleanValue()).isFalse();
    }
  }

  @Test
  void noBeatIsSentThatTheLoopDidNotGive() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = TestLinks.started(link(broker.port(), Version.V5));
        MqttBeatOutput output = output(link)) {
      output.beat(1, image(true, 3));
      other.await(heard -> true);
      await()
          .during(Duration.ofSeconds(2))
          .atMost(Duration.ofSeconds(10))
          .until(() -> other.heard().size() == 1);
    }
  }

  @Test
  void aBeatForALinkThatIsDownIsDropped() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = link(broker.port(), Version.V5);
        MqttBeatOutput output = output(link)) {
      output.beat(1, image(true, 3));
      TestLinks.started(link);
      link.publish(OutMessage.event(TOPICS.of("end"), "{}"), result -> {});
      other.await(heard -> heard.topic().equals(TOPICS.of("end")));
      assertThat(other.heard()).hasSize(1);
    }
  }

  @Test
  void closingTakesThePermitBackWithTheLastNumber() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), TOPICS.of("#"));
        MqttLink link = TestLinks.started(link(broker.port(), Version.V5))) {
      MqttBeatOutput output = output(link);
      output.beat(1, image(true, 3));
      output.close();
      output.beat(2, image(true, 3));
      await().atMost(SOON).until(() -> other.heard().size() == 2);
      JsonNode last = json.readTree(other.heard().get(1).text());
      assertThat(last.get("permit").booleanValue()).isFalse();
      assertThat(beats(other)).containsExactly(1, 1);
    }
  }

  private List<Integer> beats(TestSubscriber other) throws Exception {
    List<Integer> beats = new java.util.ArrayList<>();
    for (Heard heard : other.heard()) {
      beats.add(json.readTree(heard.text()).get("beat").intValue());
    }
    return beats;
  }

  private MqttBeatOutput output(MqttLink link) {
    return new MqttBeatOutput("cell-4", TOPICS, link, Duration.ofMillis(500), () -> AT, clock::get);
  }

  private static MqttLink link(int port, Version version) {
    return TestLinks.link(
        TestLinks.settings("control", TestLinks.broker(port, version), Optional.empty()));
  }

  private static PermitImage image(boolean permit, int revision) {
    HoldView hold =
        new HoldView(
            "cell-4",
            permit ? Phase.PERMITTED : Phase.NOT_READY,
            permit,
            Optional.empty(),
            0,
            revision,
            List.of(),
            List.of(),
            false,
            false,
            0,
            Optional.empty(),
            List.of(),
            AT,
            "agent",
            false,
            "challenge");
    return new PermitImage(
        hold,
        4711,
        Reason.NONE,
        0,
        65_535,
        0,
        0,
        1,
        false,
        false,
        false,
        false,
        0,
        65_535,
        0,
        0,
        0);
  }
}

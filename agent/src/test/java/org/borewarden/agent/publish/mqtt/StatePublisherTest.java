package org.borewarden.agent.publish.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.TcpProxy;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.peers.TestSubscriber.Heard;
import org.borewarden.agent.publish.Topics;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class StatePublisherTest {
  private static final Duration SOON = Duration.ofSeconds(30);
  private static final Topics TOPICS = new Topics("northworks/housings/cell-4");
  private static final String ALL = "northworks/housings/cell-4/#";

  @ParameterizedTest
  @EnumSource(Version.class)
  void whoSubscribesLateSeesTheStateAsItIs(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        MqttLink link = link(broker.port(), version)) {
      StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
      states.put("gauge/bore-1", "{\"connected\":false}");
      TestLinks.started(link);
      states.put("gauge/bore-1", "{\"connected\":true}");
      await().atMost(SOON).until(() -> states.waiting() == 0);
      try (TestSubscriber late = TestSubscriber.on(broker.port(), ALL)) {
        Heard kept = late.await(heard -> true);
        assertThat(kept)
            .isEqualTo(new Heard(TOPICS.of("gauge/bore-1"), "{\"connected\":true}", true));
      }
    }
  }

  @Test
  void aHoldTopicToWhichNobodySubscribesIsToldUntilSomebodyDoes() throws Exception {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        MqttLink link = link(broker.port(), Version.V5)) {
      StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
      TestLinks.started(link);
      states.put("gauge/bore-1", "{}");
      states.put("hold/cell-4", "{\"revision\":1}");
      await().atMost(SOON).until(() -> states.waiting() == 0);
      assertThat(states.unheard()).as("only a hold must be heard").containsExactly("hold/cell-4");
      try (TestSubscriber cell = TestSubscriber.on(broker.port(), ALL)) {
        states.put("hold/cell-4", "{\"revision\":2}");
        cell.await(heard -> heard.text().contains("2"));
        await().atMost(SOON).until(() -> states.waiting() == 0);
        assertThat(states.unheard()).isEmpty();
      }
    }
  }

  @Test
  void everythingIsSaidAnewAtEachConnectionAndHoldsFirst() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TcpProxy proxy = TcpProxy.start(broker.port(), TcpProxy.Mode.FORWARD);
        TestSubscriber other = TestSubscriber.on(broker.port(), ALL);
        MqttLink link = link(proxy.port(), Version.V5)) {
      StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
      for (int n = 0; n < 20; n++) {
        states.put("gauge/g" + n, "{\"n\":" + n + "}");
      }
      states.put("agent", "{\"state\":\"online\"}");
      states.put("hold/cell-4", "{\"valid_with\":\"heartbeat\"}");
      TestLinks.started(link);
      await().atMost(SOON).until(() -> other.heard().size() == 22);
      proxy.cut();
      await().atMost(SOON).until(() -> other.heard().size() >= 45);
      List<Heard> heard = other.heard();
      assertThat(heard.get(0).topic()).isEqualTo(TOPICS.of("hold/cell-4"));
      assertThat(heard.get(1).topic()).isEqualTo(TOPICS.agent());
      assertThat(heard.get(22).text()).as("the will").contains("connection-lost");
      assertThat(heard.get(23).topic()).isEqualTo(TOPICS.of("hold/cell-4"));
      assertThat(heard.get(24).text()).isEqualTo("{\"state\":\"online\"}");
    }
  }

  @Test
  void whatChangesFasterThanTheBrokerAnswersIsSaidOnceAsItEnds() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ALL);
        MqttLink link = TestLinks.started(link(broker.port(), Version.V5))) {
      StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
      for (int n = 0; n <= 5000; n++) {
        states.put("trend/bearing-seat", "{\"n\":" + n + "}");
      }
      other.await(heard -> heard.text().equals("{\"n\":5000}"));
      assertThat(other.heard()).hasSizeLessThan(5000);
    }
  }

  @Test
  void aClearedTopicIsGoneForLateSubscribers() throws Exception {
    try (TestBroker broker = TestBroker.start();
        MqttLink link = TestLinks.started(link(broker.port(), Version.V5))) {
      StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
      states.put("alert/forecast", "{}");
      states.put("gauge/bore-1", "{}");
      await().atMost(SOON).until(() -> states.waiting() == 0);
      states.clear("alert/forecast");
      await().atMost(SOON).until(() -> states.waiting() == 0);
      try (TestSubscriber late = TestSubscriber.on(broker.port(), ALL)) {
        assertThat(late.await(heard -> true).topic()).isEqualTo(TOPICS.of("gauge/bore-1"));
      }
    }
  }

  @Test
  void whatAnEarlierRunLeftIsTakenAway() throws Exception {
    try (TestBroker broker = TestBroker.start()) {
      try (MqttLink link = TestLinks.started(link(broker.port(), Version.V5))) {
        StatePublisher earlier = new StatePublisher(link, TOPICS, "cell-4");
        earlier.put("hold/cell-5", "{}");
        earlier.put("hold/cell-4", "{}");
        await().atMost(SOON).until(() -> earlier.waiting() == 0);
      }
      try (MqttLink link = TestLinks.started(link(broker.port(), Version.V5))) {
        StatePublisher states = new StatePublisher(link, TOPICS, "cell-4");
        states.retire("hold/cell-5");
        await().atMost(SOON).until(() -> states.waiting() == 0);
        try (TestSubscriber late = TestSubscriber.on(broker.port(), ALL)) {
          assertThat(late.await(heard -> true).topic()).isEqualTo(TOPICS.of("hold/cell-4"));
          states.put("agent", "{}");
          late.await(heard -> heard.topic().equals(TOPICS.agent()));
          assertThat(late.heard()).noneMatch(h -> h.topic().equals(TOPICS.of("hold/cell-5")));
        }
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void anOrderlyStopSaysThatTheAgentIsOffline(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), ALL)) {
      try (MqttLink link = TestLinks.started(link(broker.port(), version));
          StatePublisher states = new StatePublisher(link, TOPICS, "cell-4")) {
        states.put("agent", "{\"state\":\"online\"}");
      }
      other.await(
          heard ->
              heard
                  .text()
                  .equals("{\"agent\":\"cell-4\",\"state\":\"offline\",\"why\":\"stopped\"}"));
    }
  }

  private static MqttLink link(int port, Version version) {
    return TestLinks.link(
        TestLinks.settings(
            "control",
            TestLinks.broker(port, version),
            Optional.of(StatePublisher.will(TOPICS, "cell-4"))));
  }
}

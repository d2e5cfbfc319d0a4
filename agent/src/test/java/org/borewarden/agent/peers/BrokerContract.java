package org.borewarden.agent.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.mqtt.Will;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What the agent needs of any broker, asked of each that this machine has. */
abstract class BrokerContract {
  private static final Duration SOON = Duration.ofSeconds(60);

  /** Starts the broker, or skips by name. */
  abstract TestBroker broker();

  @ParameterizedTest
  @EnumSource(Version.class)
  void recordsArriveOnceAndInOrder(Version version) throws Exception {
    try (TestBroker broker = broker();
        TestSubscriber other = TestSubscriber.on(broker.port(), "t/#");
        MqttLink link = TestLinks.started(link(broker.port(), version, Optional.empty()))) {
      ConcurrentLinkedQueue<PublishResult> results = new ConcurrentLinkedQueue<>();
      for (int n = 0; n < 500; n++) {
        link.publish(OutMessage.event("t/a", Integer.toString(n)), results::add);
      }
      await().atMost(SOON).until(() -> other.heard().size() >= 500 && results.size() == 500);
      assertThat(results).allMatch(PublishResult::accepted);
      assertThat(other.heard())
          .extracting(heard -> Integer.parseInt(heard.text()))
          .isSorted()
          .doesNotHaveDuplicates();
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aRetainedStateWaitsForLateSubscribers(Version version) throws Exception {
    try (TestBroker broker = broker();
        MqttLink link = TestLinks.started(link(broker.port(), version, Optional.empty()))) {
      ConcurrentLinkedQueue<PublishResult> results = new ConcurrentLinkedQueue<>();
      link.publish(OutMessage.state("t/a", "kept"), results::add);
      await().atMost(SOON).until(() -> results.size() == 1);
      try (TestSubscriber late = TestSubscriber.on(broker.port(), "t/#")) {
        assertThat(late.await(heard -> true))
            .isEqualTo(new TestSubscriber.Heard("t/a", "kept", true));
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void theWillIsSaidWhenTheSocketIsCut(Version version) throws Exception {
    Will will = new Will("t/agent", "offline", true, Duration.ZERO);
    try (TestBroker broker = broker();
        TestSubscriber other = TestSubscriber.on(broker.port(), "t/#");
        TcpProxy proxy = TcpProxy.start(broker.port(), TcpProxy.Mode.FORWARD);
        MqttLink link = TestLinks.started(link(proxy.port(), version, Optional.of(will)))) {
      proxy.mode(TcpProxy.Mode.ACCEPT_AND_CLOSE);
      proxy.cut();
      assertThat(other.await(heard -> true).text()).isEqualTo("offline");
      await().atMost(SOON).until(() -> !link.connected());
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void itsLossIsNoticedAndItsReturnTakenUp(Version version) {
    try (TestBroker broker = broker();
        MqttLink link = TestLinks.started(link(broker.port(), version, Optional.empty()))) {
      broker.kill();
      await().atMost(SOON).until(() -> !link.connected());
      broker.restart();
      await().atMost(SOON).until(link::connected);
    }
  }

  private static MqttLink link(int port, Version version, Optional<Will> will) {
    return TestLinks.link(TestLinks.settings("record", TestLinks.broker(port, version), will));
  }
}

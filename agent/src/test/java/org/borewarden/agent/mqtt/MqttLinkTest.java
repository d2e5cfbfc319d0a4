package org.borewarden.agent.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.config.Secret;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.PublishTap;
import org.borewarden.agent.peers.TcpProxy;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class MqttLinkTest {
  private static final Duration SOON = Duration.ofSeconds(30);

  @ParameterizedTest
  @EnumSource(Version.class)
  void whatIsPublishedIsHeardAndWhatIsHeardIsHandedOver(Version version) throws Exception {
    List<InMessage> heard = new CopyOnWriteArrayList<>();
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), "t/#");
        MqttLink link = link(broker.port(), version)) {
      link.subscribe(List.of("in/+"), heard::add);
      TestLinks.started(link);
      ConcurrentLinkedQueue<PublishResult> results = new ConcurrentLinkedQueue<>();
      link.publish(OutMessage.event("t/a", "{\"n\":1}"), results::add);
      other.await(message -> message.topic().equals("t/a"));
      other.say("in/x", "hello", false);
      await().atMost(SOON).until(() -> heard.size() == 1 && results.size() == 1);
      assertThat(results).allMatch(PublishResult::accepted);
      assertThat(StandardCharsets.UTF_8.decode(heard.get(0).payload()).toString())
          .isEqualTo("hello");
    }
  }

  @Test
  void aBrokerThatIsAwayAtTheStartIsConnectedWhenItComes() {
    Peers.require("mosquitto");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true")) {
      broker.kill();
      try (MqttLink link = link(broker.port(), Version.V5)) {
        link.start();
        await().atMost(SOON).until(() -> link.state().attempt() >= 2);
        assertThat(link.state().detail()).contains("connection refused: nothing listens at");
        broker.restart();
        await().atMost(SOON).until(link::connected);
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aFrozenBrokerIsNoticedAndLeftAndFoundAgain(Version version) {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        MqttLink link = link(broker.port(), version)) {
      List<LinkState> changes = TestLinks.changes(link);
      TestLinks.started(link);
      ConcurrentLinkedQueue<PublishResult> results = new ConcurrentLinkedQueue<>();
      broker.freeze();
      link.publish(OutMessage.event("t/a", "{}"), results::add);
      await().atMost(Duration.ofSeconds(25)).until(() -> !link.connected());
      await().atMost(SOON).until(() -> results.size() == 1);
      assertThat(results.peek())
          .extracting(PublishResult::outcome)
          .isEqualTo(PublishResult.Outcome.LOST);
      broker.thaw();
      await().atMost(SOON).until(link::connected);
      assertThat(changes.stream().filter(LinkState::connected).count()).isEqualTo(2);
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void fiveThousandAtOnceNeverExceedTheBrokersWindow(Version version) throws Exception {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        MqttLink link = link(broker.port(), version)) {
      List<LinkState> changes = TestLinks.changes(link);
      TestLinks.started(link);
      assertThat(link.state().window()).isEqualTo(19);
      AtomicInteger accepted = new AtomicInteger();
      ConcurrentLinkedQueue<PublishResult> others = new ConcurrentLinkedQueue<>();
      Semaphore room = new Semaphore(Outbound.CAPACITY);
      for (int n = 0; n < 5000; n++) {
        room.acquire();
        // A new topic each time and both qualities: what breaks the client's alias table.
        OutMessage message =
            n % 5 == 0
                ? OutMessage.beat("t/" + n, "{}", Duration.ofSeconds(60))
                : OutMessage.event("t/" + n, "{}");
        link.publish(
            message,
            result -> {
              room.release();
              if (result.accepted()) {
                accepted.incrementAndGet();
              } else {
                others.add(result);
              }
            });
      }
      await().atMost(Duration.ofSeconds(60)).until(() -> accepted.get() == 5000);
      assertThat(others).isEmpty();
      assertThat(changes).as("the connection stood all the time").hasSize(1);
    }
  }

  /**
   * MQTT 5.0, 4.9: no more than the announced Receive Maximum of publishes with QoS above 0 may be
   * unacknowledged. Counted on the wire, while a broker that announces it says nothing; where it
   * announces more than one, the link keeps one below.
   */
  @ParameterizedTest
  @CsvSource({"1, 1", "3, 2"})
  void neverMorePublishesAreUnacknowledgedThanTheBrokerAnnounces(int announced, int mostSeen)
      throws Exception {
    try (TestBroker broker =
            TestBroker.mosquitto("allow_anonymous true", "max_inflight_messages " + announced);
        PublishTap tap = PublishTap.before(broker.port());
        MqttLink link = link(tap.port(), Version.V5)) {
      TestLinks.started(link);
      tap.keepAnswers(true);
      AtomicInteger accepted = new AtomicInteger();
      for (int n = 0; n < 60; n++) {
        link.publish(
            OutMessage.event("t/" + n, "{}"),
            result -> accepted.addAndGet(result.accepted() ? 1 : 0));
      }
      await().atMost(SOON).until(() -> tap.unacknowledged() == mostSeen);
      tap.keepAnswers(false);
      await().atMost(SOON).until(() -> accepted.get() == 60);
      assertThat(tap.mostUnacknowledged()).isEqualTo(mostSeen).isLessThanOrEqualTo(announced);
      assertThat(tap.connections()).as("the broker had nothing against it").isEqualTo(1);
    }
  }

  @Test
  void aClientIdThatAnotherUsesIsSaidInWordsAndDoesNotMakeAStorm() {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true")) {
      LinkSettings settings =
          LinkSettings.of("record", TestLinks.broker(broker.port(), Version.V5), Optional.empty());
      try (MqttLink one = TestLinks.link(settings);
          MqttLink two = TestLinks.link(settings)) {
        List<LinkState> changes = TestLinks.changes(one);
        TestLinks.started(one);
        TestLinks.started(two);
        await()
            .atMost(Duration.ofSeconds(60))
            .until(() -> changes.stream().anyMatch(c -> c.hint().isPresent()));
        assertThat(changes.get(changes.size() - 1).hint().orElse(""))
            .contains("does another client use the client id");
        int before = changes.size();
        await().during(Duration.ofSeconds(4)).atMost(Duration.ofSeconds(10)).until(() -> true);
        // Without a wait it would be hundreds in this time.
        assertThat(changes.size() - before).isLessThan(12);
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aPeerThatAcceptsAndClosesLeavesNoThreadsBehind(Version version) throws Exception {
    try (TcpProxy proxy = TcpProxy.start(1, TcpProxy.Mode.ACCEPT_AND_CLOSE)) {
      MqttLink link = link(proxy.port(), version);
      try (link) {
        link.start();
        await().atMost(Duration.ofSeconds(60)).until(() -> proxy.connections() >= 8);
        assertThat(link.state().detail())
            .contains("the broker closed the connection before it answered");
      }
      await()
          .atMost(SOON)
          .untilAsserted(() -> assertThat(clientThreads(link.state().link())).isEmpty());
      await().atMost(SOON).until(() -> link.unfreed() == 0);
    }
  }

  private static List<String> clientThreads(String link) {
    return Thread.getAllStackTraces().keySet().stream()
        .map(Thread::getName)
        .filter(name -> name.startsWith("MQTT ") && name.endsWith("-" + link))
        .toList();
  }

  @Test
  void aPeerThatSaysNothingIsLeftWhenTheTimeIsUp() throws Exception {
    try (TcpProxy proxy = TcpProxy.start(1, TcpProxy.Mode.MUTE)) {
      LinkSettings usual = settings(proxy.port(), Version.V5, Optional.empty());
      LinkSettings hasty =
          new LinkSettings(
              usual.name(),
              usual.broker(),
              usual.will(),
              Duration.ofSeconds(1),
              usual.firstRetry(),
              usual.longestRetry(),
              usual.stableAfter());
      try (MqttLink link = TestLinks.link(hasty)) {
        link.start();
        await().atMost(SOON).until(() -> proxy.connections() >= 2);
        assertThat(link.state().detail()).isEqualTo("the broker did not answer CONNECT within 1 s");
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void theBrokerSaysTheWillWhenTheSocketIsCut(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), "t/#");
        TcpProxy proxy = TcpProxy.start(broker.port(), TcpProxy.Mode.FORWARD)) {
      Will will = new Will("t/agent", "{\"state\":\"offline\"}", true, Duration.ZERO);
      try (MqttLink link = TestLinks.link(settings(proxy.port(), version, Optional.of(will)))) {
        TestLinks.started(link);
        proxy.mode(TcpProxy.Mode.ACCEPT_AND_CLOSE);
        proxy.cut();
        other.await(message -> message.text().contains("offline"));
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aFarewellKeepsTheWillUnsaid(Version version) throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), "t/#")) {
      Will will = new Will("t/agent", "{\"state\":\"offline\"}", true, Duration.ZERO);
      long before;
      try (MqttLink link = TestLinks.link(settings(broker.port(), version, Optional.of(will)))) {
        TestLinks.started(link);
        before = System.nanoTime();
      }
      assertThat(Duration.ofNanos(System.nanoTime() - before)).isLessThan(Duration.ofSeconds(3));
      other.say("t/end", "end", false);
      other.await(message -> message.topic().equals("t/end"));
      assertThat(other.heard()).extracting(TestSubscriber.Heard::topic).containsExactly("t/end");
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aWrongPasswordIsSaidInWords(Version version, @TempDir Path folder) throws Exception {
    Peers.require("mosquitto", "mosquitto_passwd");
    Path users = folder.resolve("users");
    Process made =
        new ProcessBuilder(
                Peers.program("mosquitto_passwd").toString(),
                "-b",
                "-c",
                users.toString(),
                "cell-4",
                "right")
            .start();
    assertThat(made.waitFor()).isZero();
    Path secret = Files.writeString(folder.resolve("secret"), "wrong\n");
    try (TestBroker broker =
        TestBroker.mosquitto("allow_anonymous false", "password_file " + users)) {
      BrokerConfig usual = TestLinks.broker(broker.port(), version);
      BrokerConfig named =
          new BrokerConfig(
              usual.url(),
              version,
              usual.clientId(),
              Optional.of("cell-4"),
              Optional.of(new Secret.InFile(secret)),
              Optional.empty(),
              usual.keepAlive(),
              usual.window(),
              usual.longestPayload());
      try (MqttLink link = TestLinks.link(TestLinks.settings("record", named, Optional.empty()))) {
        link.start();
        await().atMost(SOON).until(() -> link.state().attempt() >= 1);
        assertThat(link.state().detail())
            .containsAnyOf("wrong user name or password", "not authorised");
        assertThat(link.state().detail()).doesNotContain("wrong\n");
        // The secret is read anew at each attempt.
        Files.writeString(secret, "right\n");
        await().atMost(SOON).until(link::connected);
      }
    }
  }

  private static LinkSettings settings(int port, Version version, Optional<Will> will) {
    return TestLinks.settings("record", TestLinks.broker(port, version), will);
  }

  private static MqttLink link(int port, Version version) {
    return TestLinks.link(settings(port, version, Optional.empty()));
  }
}

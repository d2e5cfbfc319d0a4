package org.borewarden.agent.source.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.net.URI;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.JsonPaths;
import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A wireless gateway, played by mosquitto_pub on a mosquitto. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class MessageSourceTest {
  private final SourceBench bench = new SourceBench();

  @Test
  void textAndJsonBecomeReadingsWhatWasRetainedDoesNotAndALostBrokerIsFoundAgain()
      throws Exception {
    Peers.require("mosquitto_pub");
    try (TestBroker broker = TestBroker.start()) {
      publish(broker, "-r", "{\"v\":{\"n\":61.999},\"u\":\"mm\"}");
      try (MqttLink link = link(broker);
          SourceFeed feed = feed(link)) {
        until(bench::isConnected);
        publish(broker, "{\n \"v\": {\"n\": 62.0340},\n \"u\": \"mm\", \"s\": \"battery low\"}");
        until(() -> bench.readings().size() == 1);
        Reading reading = bench.taken().get(0);
        assertThat(reading.decimals()).isEqualTo(4);
        assertThat(reading.status()).contains("battery low");

        publish(broker, "62.034 mm");
        publish(broker, "{\"v\":{\"n\":[62]},\"u\":\"mm\"}");
        publish(broker, "{\"v\":{\"n\":\"62.035\"},\"u\":\"mm\"}");
        until(() -> bench.readings().size() == 2);

        broker.kill();
        until(() -> !bench.isConnected());
        broker.restart();
        until(bench::isConnected);
        publish(broker, "{\"v\":{\"n\":62.036},\"u\":\"mm\"}");
        until(() -> bench.readings().size() == 3);
      }
    }
    assertThat(bench.readings()).containsExactly(62_034_000_000L, 62_035_000_000L, 62_036_000_000L);
    assertThat(bench.rejections())
        .extracting(FrameRejected::why)
        .containsExactly("not-json", "no-match");
  }

  private SourceFeed feed(MqttLink broker) {
    MqttInLink topic = new MqttInLink("gateway/+/value");
    PortConfig plain = SourceBench.port(topic, Optional.empty());
    PortConfig port =
        new PortConfig(
            plain.id(),
            topic,
            new PortConfig.Frame(Optional.empty(), 200),
            plain.pattern(),
            false,
            Optional.empty(),
            Optional.empty(),
            Optional.of(
                new JsonPaths("/v/n", Optional.of("/u"), Optional.empty(), Optional.of("/s"))),
            OptionalInt.empty(),
            List.of(),
            List.of());
    SourceFeed feed = bench.feed(port, new MessageLink(topic, broker));
    broker.start();
    feed.start();
    return feed;
  }

  private static MqttLink link(TestBroker broker) {
    BrokerConfig config =
        new BrokerConfig(
            URI.create("mqtt://127.0.0.1:" + broker.port()),
            BrokerConfig.Version.V5,
            "cell-4",
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Duration.ofSeconds(5),
            20,
            65_536);
    return new MqttLink(
        LinkSettings.of("gauges", config, Optional.empty()), new Random(1), System::nanoTime);
  }

  private static void publish(TestBroker broker, String... last) throws Exception {
    List<String> command =
        new ArrayList<>(
            List.of(
                Peers.program("mosquitto_pub").toString(),
                "-p",
                String.valueOf(broker.port()),
                "-q",
                "1",
                "-t",
                "gateway/7/value"));
    for (int i = 0; i < last.length - 1; i++) {
      command.add(last[i]);
    }
    command.add("-m");
    command.add(last[last.length - 1]);
    assertThat(new ProcessBuilder(command).inheritIO().start().waitFor()).isZero();
  }
}

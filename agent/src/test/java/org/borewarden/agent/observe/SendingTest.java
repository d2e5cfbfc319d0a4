package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.sun.net.httpserver.HttpServer;
import io.opentelemetry.proto.collector.metrics.v1.ExportMetricsServiceRequest;
import io.opentelemetry.proto.common.v1.KeyValue;
import io.opentelemetry.proto.metrics.v1.Metric.DataCase;
import io.opentelemetry.proto.resource.v1.Resource;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.time.Duration;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** Metrics over the OpenTelemetry protocol, read by its own published message definitions. */
class SendingTest {
  private final BlockingQueue<ExportMetricsServiceRequest> received = new LinkedBlockingQueue<>();

  @Test
  void theReceiverReadsTheSameNamesAndValuesAsThePageShows() throws Exception {
    HttpServer receiver = receiver();
    try (Metrics metrics = sending(receiver.getAddress().getPort())) {
      Everything.feed(metrics);
      received.clear();
      // The one that was being made while they were fed, and one after it.
      assertThat(received.poll(60, TimeUnit.SECONDS)).isNotNull();
      ExportMetricsServiceRequest first = received.poll(60, TimeUnit.SECONDS);
      assertThat(first).isNotNull();
      assertThat(attributes(first.getResourceMetrics(0).getResource()))
          .containsEntry("service.name", "borewarden")
          .containsEntry("service.instance.id", "northworks-cell-4")
          .containsEntry("service.version", "0.1.0");
      Map<String, io.opentelemetry.proto.metrics.v1.Metric> sent =
          first.getResourceMetrics(0).getScopeMetrics(0).getMetricsList().stream()
              .collect(Collectors.toMap(m -> m.getName(), m -> m, (a, b) -> a));
      for (Metric metric : Metric.values()) {
        if (metric != Metric.RULES_INFO && metric != Metric.BUILD_INFO) {
          assertThat(sent).containsKey(metric.exposedName());
        }
      }
      var bore = Objects.requireNonNull(sent.get("borewarden_bore_meters"));
      assertThat(bore.getDataCase()).isEqualTo(DataCase.GAUGE);
      assertThat(bore.getGauge().getDataPoints(0).getAsDouble()).isEqualTo(0.062012);
      assertThat(bore.getGauge().getDataPoints(0).getAttributesList())
          .extracting(KeyValue::getKey)
          .containsExactly("feature");
      var readings = Objects.requireNonNull(sent.get("borewarden_readings_total"));
      assertThat(readings.getDataCase()).isEqualTo(DataCase.SUM);
      assertThat(readings.getSum().getDataPoints(0).getAsDouble()).isEqualTo(1.0);

      metrics.input().reading("bore-60", Everything.NOON);
      await()
          .atMost(Duration.ofSeconds(60))
          .until(() -> received.take().toString().contains("as_double: 2.0"));
    } finally {
      receiver.stop(0);
    }
  }

  /** It takes the connection, as a frozen one does, and never answers. */
  @Test
  void aReceiverThatHangsDelaysNeitherThePageNorTheStop() throws Exception {
    ServerSocket frozen = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    Metrics metrics = sending(frozen.getLocalPort());
    try (frozen;
        Socket waiting = frozen.accept()) {
      assertThat(waiting.getInputStream().read()).as("a sending is under way").isEqualTo('P');
      long begun = System.nanoTime();
      Everything.feed(metrics);
      assertThat(metrics.scrape("")).contains("borewarden_readings_total");
      metrics.close();
      assertThat(Duration.ofNanos(System.nanoTime() - begun)).isLessThan(Duration.ofSeconds(20));
      waiting.setSoTimeout(60_000);
      assertThat(waiting.getInputStream().readAllBytes())
          .as("the sending was given up, not answered")
          .isNotEmpty();
    }
  }

  @Test
  void whatAReceiverMissedWhileItWasAwayIsInTheNextSending() throws Exception {
    HttpServer first = receiver();
    int port = first.getAddress().getPort();
    try (Metrics metrics = sending(port)) {
      assertThat(received.poll(60, TimeUnit.SECONDS)).isNotNull();
      first.stop(0);
      received.clear();
      Everything.feed(metrics);
      HttpServer again = receiver(port);
      try {
        await()
            .atMost(Duration.ofSeconds(60))
            .until(() -> received.take().toString().contains("borewarden_readings_total"));
      } finally {
        again.stop(0);
      }
    }
  }

  private static Metrics sending(int port) {
    return Everything.metrics(
        System::nanoTime,
        Optional.of(
            new Sending(
                URI.create("http://127.0.0.1:" + port + "/v1/metrics"),
                Duration.ofMillis(200),
                "northworks-cell-4",
                "0.1.0")));
  }

  private HttpServer receiver() throws IOException {
    return receiver(0);
  }

  private HttpServer receiver(int port) throws IOException {
    HealthServer.limitTheServer();
    HttpServer server =
        HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 0);
    server.createContext(
        "/v1/metrics",
        exchange -> {
          received.add(ExportMetricsServiceRequest.parseFrom(exchange.getRequestBody()));
          exchange.sendResponseHeaders(200, -1);
          exchange.close();
        });
    server.start();
    return server;
  }

  private static Map<String, String> attributes(Resource resource) {
    return resource.getAttributesList().stream()
        .collect(Collectors.toMap(KeyValue::getKey, kv -> kv.getValue().getStringValue()));
  }
}

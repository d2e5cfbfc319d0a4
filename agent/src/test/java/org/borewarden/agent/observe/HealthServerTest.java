package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class HealthServerTest {
  private volatile Duration sinceLastTurn = Duration.ofMillis(250);
  private volatile List<String> reasons = List.of();
  private final Metrics metrics = Everything.metrics(System::nanoTime);
  private HealthServer server;

  @BeforeEach
  void serve() throws IOException {
    Everything.feed(metrics);
    server = start(0);
  }

  @AfterEach
  void close() {
    server.close();
    metrics.close();
  }

  @Test
  void metricsComeAsPrometheusTextUnlessOpenMetricsIsAskedFor() throws Exception {
    HttpResponse<String> plain = get("/metrics", "text/plain");
    assertThat(plain.statusCode()).isEqualTo(200);
    assertThat(type(plain)).startsWith("text/plain; version=0.0.4");
    assertThat(plain.body())
        .contains("borewarden_permit{cell=\"cell-4\"} 0.0")
        .contains("jvm_memory_used_bytes", "jvm_gc_", "jvm_threads_live_threads")
        .doesNotContain("# EOF");

    HttpResponse<String> open =
        get("/metrics", "application/openmetrics-text;version=1.0.0;q=0.5,*/*;q=0.1");
    assertThat(type(open)).startsWith("application/openmetrics-text; version=1.0.0");
    assertThat(open.body()).endsWith("# EOF\n");
  }

  @Test
  void theAgentIsAliveWhileItsLoopTurns() throws Exception {
    sinceLastTurn = HealthPages.TURN_WITHIN;
    assertThat(get("/healthz", "*/*").statusCode()).isEqualTo(200);
    assertThat(get("/healthz", "*/*").body()).isEqualTo("{\"status\":\"ok\"}");
    sinceLastTurn = Duration.ofMillis(3_140);
    HttpResponse<String> stalled = get("/healthz", "*/*");
    assertThat(stalled.statusCode()).isEqualTo(503);
    assertThat(stalled.body()).contains("the loop has not turned for 3.1 s, expected at most 2 s");
  }

  @Test
  void readinessNamesEachReason() throws Exception {
    assertThat(get("/readyz", "*/*").statusCode()).isEqualTo(200);
    reasons = List.of("rules.yaml: \"62,03\" is not a length", "gauge bore-60 is not open");
    HttpResponse<String> answer = get("/readyz", "*/*");
    assertThat(answer.statusCode()).isEqualTo(503);
    assertThat(type(answer)).isEqualTo("application/json");
    assertThat(answer.body())
        .contains("\"status\":\"not ready\"")
        .contains("[\"rules.yaml: \\\"62,03\\\" is not a length\",\"gauge bore-60 is not open\"]");
    assertThat(get("/healthz", "*/*").statusCode()).isEqualTo(200);
  }

  @Test
  void aStalledLoopIsNotReadyEither() throws Exception {
    sinceLastTurn = Duration.ofSeconds(9);
    assertThat(get("/readyz", "*/*").statusCode()).isEqualTo(503);
  }

  @Test
  void nothingElseIsServed() throws Exception {
    assertThat(get("/", "*/*").statusCode()).isEqualTo(404);
    assertThat(get("/metricsandmore", "*/*").statusCode()).isEqualTo(404);
    HttpRequest post =
        HttpRequest.newBuilder(uri("/healthz"))
            .POST(HttpRequest.BodyPublishers.ofString("x"))
            .build();
    assertThat(client().send(post, HttpResponse.BodyHandlers.ofString()).statusCode())
        .isEqualTo(405);
  }

  @Test
  void aPortInUseIsNamed() {
    assertThatThrownBy(() -> start(server.port()))
        .isInstanceOf(IOException.class)
        .hasMessageStartingWith(
            "cannot serve metrics and health at 127.0.0.1:" + server.port() + ": ");
  }

  @Test
  void clientsThatNeverFinishTheirRequestAreCutOffAndOthersAreServed() throws Exception {
    List<Socket> slow = new ArrayList<>();
    try {
      for (int i = 0; i < 3 * HealthServer.CONNECTIONS_AT_MOST; i++) {
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port());
        slow.add(socket);
        sendHalfARequest(socket);
      }
      await()
          .atMost(Duration.ofSeconds(60))
          .ignoreExceptionsMatching(IOException.class::isInstance)
          .until(() -> get("/healthz", "*/*").statusCode() == 200);
      slow.get(0).setSoTimeout(30_000);
      assertThat(endOf(slow.get(0))).as("the first slow client is cut off").isTrue();
    } finally {
      for (Socket socket : slow) {
        socket.close();
      }
    }
  }

  private static void sendHalfARequest(Socket socket) {
    try {
      socket.getOutputStream().write("GET /metrics HT".getBytes(StandardCharsets.US_ASCII));
    } catch (IOException refused) {
      // One beyond the limit of connections: closed as soon as it was accepted.
      assertThat(refused).hasMessageMatching("(?i).*(reset|broken pipe|abort).*");
    }
  }

  private static boolean endOf(Socket socket) {
    try {
      return socket.getInputStream().read() < 0;
    } catch (java.net.SocketTimeoutException stillOpen) {
      return false;
    } catch (IOException reset) {
      return true;
    }
  }

  @Test
  void anAddressThatOthersReachIsNotBound() {
    assertThatThrownBy(() -> start("0.0.0.0", 0))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("0.0.0.0 is no loopback address");
  }

  private HealthServer start(int port) throws IOException {
    return start("127.0.0.1", port);
  }

  private HealthServer start(String host, int port) throws IOException {
    return HealthServer.start(
        host,
        port,
        metrics,
        new HealthView() {
          @Override
          public Duration sinceLastTurn() {
            return sinceLastTurn;
          }

          @Override
          public List<String> notReadyBecause() {
            return reasons;
          }
        });
  }

  private HttpResponse<String> get(String path, String accept)
      throws IOException, InterruptedException {
    HttpRequest request =
        HttpRequest.newBuilder(uri(path))
            .header("Accept", accept)
            .timeout(Duration.ofSeconds(20))
            .build();
    return client().send(request, HttpResponse.BodyHandlers.ofString());
  }

  private static HttpClient client() {
    return HttpClient.newBuilder().version(HttpClient.Version.HTTP_1_1).build();
  }

  private URI uri(String path) {
    return URI.create("http://127.0.0.1:" + server.port() + path);
  }

  private static String type(HttpResponse<String> response) {
    return response.headers().firstValue("Content-Type").orElse("");
  }
}

package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A real Prometheus with the shipped rules scrapes the agent's page; the dashboard asks it. */
class PrometheusIT {
  private static final Path DEPLOY = Path.of("../deploy").toAbsolutePath().normalize();
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Duration SOON = Duration.ofSeconds(90);

  /** What this afternoon has no example of: nothing stands or is old in it. */
  private static final Set<String> MAY_BE_EMPTY =
      Set.of(
          "borewarden_condition_active == 1",
          "time() - borewarden_outbox_oldest_timestamp_seconds");

  private final HttpClient http = HttpClient.newHttpClient();
  @TempDir private Path folder;

  @Test
  void theShippedRulesAreGoodForItAndEveryPanelOfTheDashboardGetsItsAnswer() throws Exception {
    Peers.require("prometheus");
    int port = TestBroker.freePort();
    try (Metrics metrics = Everything.metrics(System::nanoTime);
        HealthServer page = HealthServer.start("127.0.0.1", 0, metrics, alive())) {
      Everything.feed(metrics);
      Process prometheus = prometheus(port, page.port());
      try {
        await()
            .atMost(SOON)
            .pollInterval(Duration.ofMillis(250))
            .ignoreExceptions()
            .until(
                () -> {
                  Everything.feed(metrics);
                  return ask(port, "up{job=\"borewarden\"} == 1").size() == 1
                      && ask(port, "borewarden:bores_out:ratio1d").size() == 1;
                });
        for (JsonNode group : get(port, "/api/v1/rules").at("/data/groups")) {
          for (JsonNode rule : group.get("rules")) {
            assertThat(rule.get("health").textValue()).as(rule.toString()).isEqualTo("ok");
          }
        }
        List<String> panels = panels();
        assertThat(panels).hasSizeGreaterThanOrEqualTo(12);
        for (String panel : panels) {
          JsonNode answer = ask(port, panel);
          assertThat(answer.isArray()).as(panel).isTrue();
          if (!MAY_BE_EMPTY.contains(panel)) {
            assertThat(answer.size()).as(panel).isPositive();
          }
        }
        // Its ring check was due long ago.
        await()
            .atMost(SOON)
            .until(() -> get(port, "/api/v1/alerts").toString().contains("RingCheckOverdue"));
      } finally {
        prometheus.destroyForcibly().onExit().join();
      }
    }
  }

  private Process prometheus(int port, int page) throws Exception {
    for (String rules : List.of("alerts.yml", "recording.yml")) {
      Files.copy(DEPLOY.resolve("prometheus").resolve(rules), folder.resolve(rules));
    }
    String config =
        Files.readString(DEPLOY.resolve("prometheus/prometheus.yml"), StandardCharsets.UTF_8)
            .replace("interval: 10s", "interval: 250ms")
            .replace("127.0.0.1:9477", "127.0.0.1:" + page);
    Files.writeString(folder.resolve("prometheus.yml"), config, StandardCharsets.UTF_8);
    return new ProcessBuilder(
            Peers.program("prometheus").toString(),
            "--config.file=" + folder.resolve("prometheus.yml"),
            "--storage.tsdb.path=" + folder.resolve("data"),
            "--web.listen-address=127.0.0.1:" + port)
        .redirectErrorStream(true)
        .redirectOutput(folder.resolve("prometheus.log").toFile())
        .start();
  }

  private static List<String> panels() throws Exception {
    List<String> all = new ArrayList<>();
    for (JsonNode panel :
        JSON.readTree(DEPLOY.resolve("grafana/borewarden.json").toFile()).get("panels")) {
      panel.get("targets").forEach(target -> all.add(target.get("expr").textValue()));
    }
    return all;
  }

  private JsonNode ask(int port, String query) throws Exception {
    JsonNode answer =
        get(port, "/api/v1/query?query=" + URLEncoder.encode(query, StandardCharsets.UTF_8));
    assertThat(answer.get("status").textValue()).as(query + ": " + answer).isEqualTo("success");
    return answer.at("/data/result");
  }

  private JsonNode get(int port, String path) throws Exception {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + port + path)).build();
    return JSON.readTree(http.send(request, HttpResponse.BodyHandlers.ofString()).body());
  }

  private static HealthView alive() {
    return new HealthView() {
      @Override
      public Duration sinceLastTurn() {
        return Duration.ZERO;
      }

      @Override
      public List<String> notReadyBecause() {
        return List.of();
      }
    };
  }
}

package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.Writer;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.observe.HealthServer;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a running agent does moves the metrics that tell of it, on a real broker. */
class ServedMetricsTest {
  private static final Duration SOON = Duration.ofSeconds(60);

  private final HttpClient http = HttpClient.newHttpClient();
  @TempDir private Path folder;

  @Test
  void eachMetricMovesWithWhatItTellsOf() throws Exception {
    Path rights =
        Files.writeString(
            folder.resolve("acl"),
            "topic readwrite northworks/#\ntopic deny northworks/housings/cell-4/verdict/#\n");
    int page = TestBroker.freePort();
    BlockingQueue<String> sent = new LinkedBlockingQueue<>();
    HttpServer receiver = refusing(sent);
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "acl_file " + rights);
        ServerSocket port = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      ReadFiles files = ReadFiles.of(config(broker.port(), port.getLocalPort(), page, receiver));
      assertThat(files.problems()).isEmpty();
      AgentConfig config = ((Outcome.Good<AgentConfig>) files.config()).value();
      try (Wiring agent = Wiring.start(config, new RulesInForce(files));
          Socket gauge = port.accept();
          Writer out = new OutputStreamWriter(gauge.getOutputStream(), StandardCharsets.US_ASCII)) {
        assertThat(agent).isNotNull();
        out.write("\r\n"); // else the first frame would be doubted, its beginning not being known
        shows(page, "borewarden_gauge_belief{gauge=\"bore-1\",state=\"unknown\"}", 1);
        assertThat(value(page, "borewarden_ring_check_due_timestamp_seconds")).isNaN();
        assertThat(value(page, "borewarden_dead_letters_total")).isNaN();

        Instant before = Instant.now();
        ring(out, "62.000");
        shows(page, "borewarden_gauge_belief{gauge=\"bore-1\",state=\"good\"}", 1);
        shows(page, "borewarden_gauge_belief{gauge=\"bore-1\",state=\"unknown\"}", 0);
        assertThat(value(page, "borewarden_ring_check_due_timestamp_seconds"))
            .as("two hours after the check")
            .isBetween(
                (double) before.plusSeconds(7200).getEpochSecond(),
                (double) Instant.now().plusSeconds(7201).getEpochSecond());

        double commits = value(page, "borewarden_journal_commit_seconds_count");
        double acknowledged = value(page, "borewarden_publish_seconds_count");
        assertThat(commits).isPositive();
        out.write("62.010\r\n62.011\r\n");
        out.flush();
        // The broker's access list refuses verdicts: they are set aside, and the others go on.
        await()
            .atMost(SOON)
            .until(
                () ->
                    value(page, "borewarden_dead_letters_total{why=\"no-right\"}") >= 2
                        && value(page, "borewarden_publish_seconds_count") > acknowledged);
        assertThat(value(page, "borewarden_journal_commit_seconds_count")).isGreaterThan(commits);
        // Two bores is what the rules ask for.
        await()
            .atMost(SOON)
            .until(
                () ->
                    value(page, "borewarden_ring_check_due_timestamp_seconds")
                        <= Instant.now().getEpochSecond() + 1);
        double turns = value(page, "borewarden_loop_turn_seconds_count");
        await()
            .atMost(SOON)
            .until(() -> value(page, "borewarden_loop_turn_seconds_count") > turns + 1);

        ring(out, "62.040");
        shows(page, "borewarden_gauge_belief{gauge=\"bore-1\",state=\"suspect\"}", 1);

        // The receiver refused every sending, which disturbed nothing of the above.
        await()
            .atMost(SOON)
            .until(
                () ->
                    sent.stream()
                        .anyMatch(
                            text ->
                                text.contains("northworks-cell-4")
                                    && text.contains("borewarden_bores_total")));
      }
    } finally {
      receiver.stop(0);
    }
  }

  /** Text within protobuf stands as it is. */
  private static HttpServer refusing(BlockingQueue<String> sent) throws IOException {
    HealthServer.limitTheServer();
    HttpServer server =
        HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    server.createContext(
        "/v1/metrics",
        exchange -> {
          byte[] body = exchange.getRequestBody().readAllBytes();
          exchange.sendResponseHeaders(503, -1);
          exchange.close();
          sent.add(new String(body, StandardCharsets.ISO_8859_1));
        });
    server.start();
    return server;
  }

  private void ring(Writer out, String reading) throws Exception {
    StringWriter said = new StringWriter();
    PrintWriter to = new PrintWriter(said, true);
    int exit =
        Main.line()
            .setOut(to)
            .setErr(to)
            .execute(
                "ring-check",
                "--gauge",
                "bore-1",
                "--who",
                "k-berg",
                "--config",
                folder.resolve("agent.yaml").toString());
    assertThat(exit).as(said.toString()).isZero();
    out.write(reading + "\r\n");
    out.flush();
  }

  private void shows(int page, String series, double value) {
    await().atMost(SOON).until(() -> value(page, series) == value);
  }

  /** The value of the first series whose name and labels begin so; NaN where there is none. */
  private double value(int page, String series) throws Exception {
    HttpRequest request =
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + page + "/metrics")).build();
    List<String> lines =
        http.send(request, HttpResponse.BodyHandlers.ofString())
            .body()
            .lines()
            .filter(line -> line.startsWith(series))
            .toList();
    return lines.isEmpty()
        ? Double.NaN
        : Double.parseDouble(lines.get(0).substring(lines.get(0).lastIndexOf(' ') + 1));
  }

  private Path config(int broker, int gauge, int page, HttpServer receiver) throws Exception {
    String group = Files.readAttributes(folder, PosixFileAttributes.class).group().getName();
    Files.writeString(
        folder.resolve("rules.yaml"),
        """
        part: housing-31
        rings:
          - {id: R62, size: 62.000 mm}
        gauges:
          - id: bore-1
            ring-check: {ring: R62, error-limit: 0.003 mm, readings: 1, every: 2 h, every-bores: 2}
        features:
          - id: bearing-seat
            gauge: bore-1
            nominal: 62.000 mm
            upper: +0.030 mm
            lower: 0 mm
        """,
        StandardCharsets.UTF_8);
    return Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: northworks/housings/cell-4
        rules: rules.yaml
        data: data
        broker: mqtt://127.0.0.1:%d
        gauges:
          - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
        http: {port: %d}
        otlp: {url: "http://127.0.0.1:%d/v1/metrics", every: 5 s}
        commands:
          socket: run/commands.socket
          groups: {%s: inspector}
        """
            .formatted(broker, gauge, page, receiver.getAddress().getPort(), group),
        StandardCharsets.UTF_8);
  }
}

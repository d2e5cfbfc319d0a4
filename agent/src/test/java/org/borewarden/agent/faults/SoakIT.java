package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.journal.VerifyReport;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * An hour ({@code -Dborewarden.seconds=N} for another time) of readings, of a broker that dies and
 * comes back, of gauges that are unplugged, of rules that change and of metrics that are asked for,
 * each once a minute: nothing that the process holds may grow. Only with {@code
 * -Dborewarden.long=true}.
 */
class SoakIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");
  private static final Duration TIME =
      Duration.ofSeconds(Integer.getInteger("borewarden.seconds", 3600));
  private static final int LOOKS = 60;
  private static final int GAUGES = 4;
  private static final int READINGS_A_SECOND = 80;
  private static final long MORE_HEAP = 3_000_000;
  private static final long MORE_RESIDENT = 16_000_000;
  private static final long MORE_FILES = 2;
  private static final long MORE_THREADS = 2;

  /** Retention brings the file back to this size, and works in steps below it. */
  private static final long KEPT_BYTES = 64L << 20;

  private static final Pattern METRICS = Pattern.compile("metrics on (http://\\S+)");

  @TempDir Path scratch;

  private final List<GaugePort> gauges = new ArrayList<>();
  private final List<ProcessLook> looks = new ArrayList<>();
  private final Random random = new Random(11);
  private long sent;

  @Test
  void nothingGrowsWhileReadingsGoOnAndEverythingAroundTheAgentComesAndGoes() throws Exception {
    assumeTrue(LONG, "only with -Dborewarden.long=true");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
        AgentRun agent =
            new AgentRun(scratch, List.of("env", "JAVA_TOOL_OPTIONS=" + shippedLog()))) {
      write(broker.port());
      agent.start();
      for (GaugePort gauge : gauges) {
        Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
        gauge.send("");
      }
      for (int look = 0; look < LOOKS; look++) {
        disturb(look, broker);
        long end = System.nanoTime() + TIME.toNanos() / LOOKS;
        while (System.nanoTime() < end) {
          send();
        }
        requireMetrics(agent);
        looks.add(ProcessLook.at(agent.pid(), agent.data()));
        assertThat(agent.alive()).isTrue();
        System.err.printf("soak: %d readings, %s%n", sent, looks.get(look));
      }
      Waits.until("an empty outbox", () -> Verify.dataFolder(agent.data()).outbox() == 0);
      agent.stop();
      VerifyReport report = Verify.dataFolder(agent.data());
      assertThat(report.whole()).isTrue();
      assertThat(report.lastSeq()).isGreaterThan(sent);
      System.err.printf("soak: %d s, %d entries%n", TIME.toSeconds(), report.lastSeq());
    } finally {
      for (GaugePort gauge : gauges) {
        gauge.close();
      }
    }
    assertThat(growing(looks)).isEmpty();
  }

  /** If these were content with a process that leaks, so would the test above be. */
  @Test
  void aProcessThatLeaksALittleEachMinuteIsFoundOut() {
    ProcessLook steady = new ProcessLook(20_000_000, 120_000_000, 60, 30, KEPT_BYTES);
    assertThat(growing(LongStream.range(0, LOOKS).mapToObj(minute -> steady).toList())).isEmpty();
    List<ProcessLook> leaks =
        LongStream.range(0, LOOKS)
            .mapToObj(
                minute ->
                    new ProcessLook(
                        20_000_000 + minute * 160_000,
                        120_000_000 + minute * 820_000,
                        60 + minute / 6,
                        30 + minute / 6,
                        KEPT_BYTES * 2 + minute))
            .toList();
    assertThat(growing(leaks)).hasSize(5);
  }

  private static List<String> growing(List<ProcessLook> looks) {
    Optional<String> disk =
        Optional.of(
                Slope.median(looks.subList(LOOKS * 2 / 3, looks.size()), ProcessLook::diskBytes))
            .filter(bytes -> bytes > KEPT_BYTES * 3 / 2)
            .map(bytes -> "the data folder takes " + bytes + " bytes");
    return Stream.of(
            Slope.grows("the heap", looks, ProcessLook::heapBytes, MORE_HEAP),
            Slope.grows("memory", looks, ProcessLook::residentBytes, MORE_RESIDENT),
            Slope.grows("open files", looks, ProcessLook::files, MORE_FILES),
            Slope.grows("threads", looks, ProcessLook::threads, MORE_THREADS),
            disk)
        .flatMap(Optional::stream)
        .toList();
  }

  /** One thing after the other, each minute the next. */
  private void disturb(int minute, TestBroker broker) throws Exception {
    switch (minute % 4) {
      case 0 -> rules(minute % 8 == 0 ? "0.030" : "0.031");
      case 1 -> {
        broker.kill();
        broker.restart();
      }
      case 2 -> gauges.forEach(GaugePort::dropClients);
      default -> rules("0.03x");
    }
    for (GaugePort gauge : gauges) {
      Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
      gauge.sendBytes("\r\n".getBytes(StandardCharsets.US_ASCII));
    }
  }

  private void send() throws InterruptedException {
    gauges.get((int) (sent % GAUGES)).send("62.0" + (10 + random.nextInt(10)) + " mm");
    sent++;
    Waits.pass(TimeUnit.SECONDS.toMicros(1) / READINGS_A_SECOND);
  }

  private static void requireMetrics(AgentRun agent) throws IOException, InterruptedException {
    Matcher said = METRICS.matcher(agent.said());
    assertThat(said.find()).isTrue();
    HttpResponse<String> answer =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create(said.group(1))).build(),
                HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
    assertThat(answer.body()).contains("borewarden_");
  }

  private static String shippedLog() {
    return "-Dlogback.configurationFile="
        + Path.of("src/main/resources/logback.xml").toAbsolutePath();
  }

  private void rules(String upper) throws IOException {
    StringBuilder rules = new StringBuilder("part: housing-31\nfeatures:\n");
    for (int number = 1; number <= GAUGES; number++) {
      rules.append(
          """
            - id: seat-%1$d
              cell: cell-4
              gauge: bore-%1$d
              nominal: 62.000 mm
              upper: +%2$s mm
              lower: 0 mm
              watches:
                - forecast: {hold-within: 1 part, alert-within: 2 parts, minimum-bores: 5}
                - run-on-one-side: {bores: 7, action: note}
          """
              .formatted(number, upper));
    }
    AgentRun.file(scratch, "rules.yaml", rules.toString());
  }

  private void write(int brokerPort) throws IOException {
    StringBuilder ports = new StringBuilder();
    for (int number = 1; number <= GAUGES; number++) {
      GaugePort gauge = GaugePort.open(0);
      gauges.add(gauge);
      ports.append(
          "  - {id: bore-%d, tcp: \"127.0.0.1:%d\", unit: mm}%n".formatted(number, gauge.port()));
    }
    rules("0.030");
    AgentRun.file(
        scratch,
        "agent.yaml",
        """
        agent: northworks-cell-4
        root: soak
        rules: rules.yaml
        data: data
        journal: {keep-size: 64 MiB}
        broker: {url: "mqtt://127.0.0.1:%d", version: 5}
        gauges:
        %scells:
          - {id: cell-4, mqtt: only-path}
        http: {port: 0}
        commands: {trust: broker}
        """
            .formatted(brokerPort, ports));
  }
}

package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.time.Duration;
import java.util.List;
import java.util.stream.Stream;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.demo.controller.Controller;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/**
 * The cell test from the command line, over the real socket and over Modbus, toward the simulated
 * cell. The beat is quicker than the contract's, so that a walk takes seconds.
 */
class CellTestTest {
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final Duration BEAT = Duration.ofMillis(12);
  private static final int STEPS = 304;

  @TempDir private Path folder;

  private record Ran(int exit, String out, String err) {}

  @Test
  void everyBitIsWalkedTowardACellInTestModeAndAStuckOneIsTold() throws Exception {
    try (ServerSocket gauge = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
        Controller cell = Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)))) {
      ReadFiles files = ReadFiles.of(config(gauge.getLocalPort(), cell.port()));
      assertThat(files.problems()).isEmpty();
      AgentConfig read = ((Outcome.Good<AgentConfig>) files.config()).value();
      try (Wiring agent = Wiring.start(read, new RulesInForce(files), BEAT)) {
        assertThat(agent).isNotNull();
        await().atMost(SOON).until(() -> cell.state().permit());
        refusedOutsideTestMode(cell);
        cell.testMode(true);
        passes();
        await().atMost(SOON).until(() -> cell.state().permit());
        cell.stickBit(7, 4, true);
        fails();
      }
    }
    try (Stream<Path> kept = Files.list(folder.resolve("data/cell-tests"))) {
      assertThat(kept.toList()).hasSize(2).allMatch(file -> file.toString().endsWith(".md"));
    }
  }

  private void refusedOutsideTestMode(Controller cell) throws Exception {
    Ran ran = test();
    assertThat(ran.exit()).isEqualTo(1);
    assertThat(ran.err())
        .startsWith("condition-present")
        .contains("expected cell-4 in test mode (B2 bit 9)");
    assertThat(cell.blockA()[2] & 0x0400).as("no test image was shown").isZero();
  }

  private void passes() throws Exception {
    Ran ran = test();
    assertThat(ran.exit()).as(ran.out() + ran.err()).isZero();
    assertThat(ran.out())
        .contains(
            "# Cell test of cell-4",
            "| outcome | passed |",
            "| steps | " + STEPS + " passed, 0 failed |",
            "| asked by | k-berg, proved as local:",
            "version " + Version.TEXT,
            "| A2 bit 0 | 0x0401 | 0x0401 | passed |",
            "| A4 bit 15 | 0x8000 | 0x8000 | passed |",
            "| A18 bit 15 | 0x8000 | 0x8000 | passed |",
            "| A3 bit 0 spoiled | 0x0001 | refused | passed |");
    String file = ran.out().lines().filter(l -> l.startsWith("kept in ")).findFirst().orElseThrow();
    Path kept = Path.of(file.substring("kept in ".length()));
    await().atMost(SOON).until(() -> Files.exists(kept));
    assertThat(ran.out()).contains(Files.readString(kept, StandardCharsets.UTF_8));
  }

  private void fails() throws Exception {
    Ran ran = test();
    assertThat(ran.exit()).isEqualTo(1);
    assertThat(ran.out()).contains("| outcome | failed |");
    List<String> failed = ran.out().lines().filter(line -> line.contains("FAILED")).toList();
    assertThat(failed).hasSize(2);
    assertThat(failed.get(0)).startsWith("| all clear | the test bit alone | A7 0x0010 |");
    assertThat(failed.get(1)).startsWith("| A7 bit 4 | 0x0010 | A7 0x0010 |");
  }

  private Ran test() {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    CommandLine line =
        Main.line().setOut(new PrintWriter(out, true)).setErr(new PrintWriter(err, true));
    int exit =
        line.execute(
            "cell-test",
            "--cell",
            "cell-4",
            "--who",
            "k-berg",
            "--config",
            folder.resolve("agent.yaml").toString());
    return new Ran(exit, out.toString(), err.toString());
  }

  private Path config(int gauge, int cell) throws Exception {
    String group = Files.readAttributes(folder, PosixFileAttributes.class).group().getName();
    Files.writeString(
        folder.resolve("rules.yaml"),
        """
        part: housing-31
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
        gauges:
          - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
        cells:
          - id: cell-4
            modbus: {host: 127.0.0.1, port: %d, base: 100, cell-base: 200, answer-within: 1 s, echo-within: 3 s}
        http: off
        commands:
          socket: run/commands.socket
          groups: {%s: it}
        """
            .formatted(gauge, cell, group),
        StandardCharsets.UTF_8);
  }
}

package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.uuid.Generators;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import org.borewarden.agent.acceptance.Listener.Heard;
import org.borewarden.agent.peers.GaugeColumn;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/**
 * A bench with six gauges, five of them each on another kind of source, none of whose other ends is
 * written here: a serial one that is asked (socat and a shell), one that calls the agent (socat), a
 * wireless one behind a gateway (mosquitto_pub), a column (pymodbus) and a logger's file; and one
 * whose bores the cell names.
 */
class EverySourceIT {
  private static final String AGENT =
      """
      agent: northworks-bench
      root: northworks/housings/cell-4
      rules: rules.yaml
      data: data
      broker: {url: "mqtt://127.0.0.1:@BROKER@"}
      gauges:
        - {id: asked, serial: @ASKED@, unit: mm, ask: {send: "R1\\n", on: command}}
        - {id: caller, listen: "127.0.0.1:@CALLER@", unit: mm}
        - {id: wireless, mqtt: gateway/+/value, json: {value: /data/value, unit: /data/unit, status: /state}, low-battery: [low]}
        - {id: column, modbus: {host: 127.0.0.1, port: @COLUMN@, unit: 2, table: input, register: 10, type: int32, order: low-word-first, scale: 0.0001, every: 100 ms, counter: 12}, unit: mm}
        - {id: logger, file: {path: log.txt, from: start}, unit: mm}
        - {id: carried, file: {path: carried.txt, from: end}, unit: mm}
      cells: [{id: cell-4, mqtt: only-path}]
      http: {port: 0}
      commands: {trust: broker}
      """;

  private static final String RULES =
      """
      part: housing-31
      gauges:
        - {id: caller, which: {by: size, margin: 0.5 mm}}
        - {id: logger, which: {by: sequence, order: [inlet, outlet]}}
        - {id: carried, which: {by: cell}}
      features:
        - {id: seat, gauge: asked, size: 62 H7}
        - {id: lug, gauge: caller, size: 20 H7}
        - {id: eye, gauge: caller, size: 30 H7}
        - {id: sleeve, gauge: wireless, size: 50 H7}
        - {id: cover, gauge: column, size: 62 H7}
        - {id: inlet, gauge: logger, size: 40 H7}
        - {id: outlet, gauge: logger, size: 40 H7}
        - {id: left, gauge: carried, size: 25 H7}
        - {id: right, gauge: carried, size: 25 H7}
      """;

  @TempDir(cleanup = CleanupMode.ON_SUCCESS)
  private Path folder;

  private final Deque<AutoCloseable> toClose = new ArrayDeque<>();

  @AfterEach
  void tearDown() throws Exception {
    while (!toClose.isEmpty()) {
      toClose.pop().close();
    }
  }

  @Test
  void whatEachKindOfGaugeReadsComesOutAsTheVerdictOfItsBore() throws Exception {
    Peers.require("mosquitto", "mosquitto_sub", "mosquitto_pub", "mosquitto_rr", "socat");
    TestBroker broker = closing(TestBroker.mosquitto("allow_anonymous true"));
    Listener listener = closing(Listener.to(broker.port(), Plant.ROOT));
    GaugeColumn column = closing(new GaugeColumn(0));
    Path log = Files.writeString(folder.resolve("log.txt"), "40.011\n40.030\n");
    Path carried = Files.createFile(folder.resolve("carried.txt"));
    int free = TestBroker.freePort();
    Path device = askedGauge();
    Files.writeString(folder.resolve("rules.yaml"), RULES);
    Files.writeString(
        folder.resolve("agent.yaml"),
        AGENT
            .replace("@BROKER@", "" + broker.port())
            .replace("@ASKED@", device.toString())
            .replace("@CALLER@", "" + free)
            .replace("@COLUMN@", "" + column.port()));
    Files.createFile(folder.resolve("asked"));
    AgentProcess agent = closing(AgentProcess.start(folder, "run"));
    agent.awaitSaid("started as northworks-bench");

    // The logger wrote before the agent started: one part, its two bores in sequence.
    assertThat(verdicts(listener, "inlet", 1)).containsExactly("40.011 within");
    assertThat(verdicts(listener, "outlet", 1)).containsExactly("40.030 oversize");
    Files.writeString(log, "39.999\n", StandardOpenOption.APPEND);
    assertThat(verdicts(listener, "inlet", 2)).containsExactly("40.011 within", "39.999 undersize");
    listener.await("gauge/logger", seen -> seen.at("/next/feature").equals("outlet"));

    // The gauge that calls: two bores told by their size, and one of no known feature.
    Process caller = socat("STDIO", "TCP:127.0.0.1:" + free);
    listener.await("gauge/caller", seen -> seen.at("/connected").equals("true"));
    caller.outputWriter().append("\r\n30.010\r\n25.000\r\n20.022\r\n").flush();
    assertThat(verdicts(listener, "eye", 1)).containsExactly("30.010 within");
    assertThat(verdicts(listener, "lug", 1)).containsExactly("20.022 oversize");
    assertThat(listener.awaitRecords("reading/caller", 3))
        .extracting(EverySourceIT::value)
        .containsExactly("30.010", "25.000", "20.022");

    // The gateway's JSON; the battery stands at the gauge until it is fine again.
    listener.await("gauge/wireless", seen -> seen.at("/connected").equals("true"));
    publish(broker, "{\"data\":{\"value\":\"50.012\",\"unit\":\"mm\"},\"state\":\"low\"}");
    assertThat(verdicts(listener, "sleeve", 1)).containsExactly("50.012 within");
    listener.await("gauge/wireless", seen -> seen.at("/battery_low").equals("true"));
    publish(broker, "{\"data\":{\"value\":\"50.013\",\"unit\":\"mm\"},\"state\":\"ok\"}");
    listener.await("gauge/wireless", seen -> seen.at("/battery_low").equals("false"));

    // 620 341 = 0x0009_7735, the low word first: 62.0341 mm.
    listener.await("gauge/column", seen -> seen.at("/connected").equals("true"));
    column.set("4 10 30517 9 1");
    assertThat(verdicts(listener, "cover", 1)).containsExactly("62.0341 oversize");

    // The serial gauge says nothing until somebody asks for it, once for each command.
    listener.await("gauge/asked", seen -> seen.at("/connected").equals("true"));
    assertThat(ask(broker, "caller")).contains("malformed", "not asked by command");
    assertThat(ask(broker, "asked")).contains("accepted");
    assertThat(verdicts(listener, "seat", 1)).containsExactly("62.011 within");
    assertThat(ask(broker, "asked")).contains("accepted");
    assertThat(verdicts(listener, "seat", 2)).containsExactly("62.011 within", "62.012 within");
    assertThat(Files.readAllLines(folder.resolve("asked"))).containsExactly("R1", "R1");

    // A robot carries the last one: the cell says where it is, beside the part, its tool and
    // spindle.
    assertThat(atFeature(broker, "right")).contains("accepted");
    Files.writeString(carried, "25.011\n", StandardOpenOption.APPEND);
    assertThat(verdicts(listener, "right", 1)).containsExactly("25.011 within");
    assertThat(atFeature(broker, "left")).contains("accepted");
    Files.writeString(carried, "25.022\n", StandardOpenOption.APPEND);
    assertThat(verdicts(listener, "left", 1)).containsExactly("25.022 oversize");
    assertThat(listener.awaitRecords("verdict/left", 1).get(0).json().at("/context").toString())
        .isEqualTo("{\"part\":7,\"serial\":\"N-7\",\"tool\":\"7\",\"spindle\":\"2\"}");

    listener.assertGapFree();
    assertThat(listener.unlikeTheirSchema()).isEmpty();
  }

  private <T extends AutoCloseable> T closing(T part) {
    toClose.push(part);
    return part;
  }

  private static List<String> verdicts(Listener listener, String feature, int count) {
    return listener.awaitRecords("verdict/" + feature, count).stream()
        .map(heard -> value(heard) + " " + heard.at("/verdict"))
        .toList();
  }

  private static String value(Heard heard) {
    return heard.json().at("/value").decimalValue().toPlainString();
  }

  /** Answers each line with the next size. */
  private Path askedGauge() throws Exception {
    Path script =
        Files.writeString(
            folder.resolve("gauge.sh"),
            """
            n=0
            while read -r ask
            do
              n=$((n+1))
              echo "$ask" >> asked
              printf '62.01%d\\r\\n' $n
            done
            """);
    Path device = folder.resolve("asked-gauge");
    socat("pty,raw,echo=0,link=" + device, "EXEC:sh " + script);
    Waiting.until("the gauge's device", () -> Files.exists(device));
    return device;
  }

  private Process socat(String... ends) throws Exception {
    Process process =
        new ProcessBuilder(Peers.require("socat").toString(), ends[0], ends[1])
            .directory(folder.toFile())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    toClose.push(
        () -> {
          process.descendants().forEach(ProcessHandle::destroyForcibly);
          process.destroyForcibly();
        });
    return process;
  }

  private static void publish(TestBroker broker, String message) throws Exception {
    Client.run(
        "mosquitto_pub",
        "-p",
        "" + broker.port(),
        "-q",
        "1",
        "-t",
        "gateway/7/value",
        "-m",
        message);
  }

  private static String ask(TestBroker broker, String gauge) throws Exception {
    return command(
        broker, "inspector", "ask", "\"gauge\":\"" + gauge + "\",\"who\":\"inspector-2\"");
  }

  private static String atFeature(TestBroker broker, String feature) throws Exception {
    String part =
        "\"cell\":\"cell-4\",\"part\":7,\"serial\":\"N-7\",\"tool\":\"7\",\"spindle\":\"2\"";
    return command(broker, "cell", "context", part + ",\"feature\":\"" + feature + "\"");
  }

  private static String command(TestBroker broker, String role, String name, String fields)
      throws Exception {
    String id = Generators.timeBasedEpochGenerator().generate().toString();
    return Client.ask(broker, role, name, "{\"id\":\"" + id + "\"," + fields + "}");
  }
}

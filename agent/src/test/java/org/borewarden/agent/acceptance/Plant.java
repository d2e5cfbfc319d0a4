package org.borewarden.agent.acceptance;

import com.fasterxml.uuid.Generators;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import org.borewarden.agent.peers.MosquittoProcess;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.peers.TestBroker;

/**
 * Northworks' cell 4 for one test: a broker, a controller, two gauges on serial cables, somebody
 * who listens, and the two files. The agent is started by the test.
 */
final class Plant {
  static final String ROOT = "northworks/housings/cell-4";
  static final String HOLD = "hold/cell-4";
  static final String BEAT = "heartbeat/cell-4";

  /** The waits are the longest allowed, so that a loaded machine is not taken for a lost cell. */
  private static final String AGENT_YAML =
      """
      agent: northworks-cell-4
      root: northworks/housings/cell-4
      rules: rules.yaml
      data: data
      broker: {url: "mqtt://127.0.0.1:@BROKER@", version: 5}
      gauges:
        - {id: bore-1, serial: @BORE-1@, unit: mm}
        - {id: bore-3, serial: @BORE-3@, unit: in}
      cells:
        - id: cell-4
          modbus: {host: 127.0.0.1, port: @PLC@, base: 100, cell-base: 200, answer-within: 1 s, echo-within: 3 s}
          mqtt: informs
      http: {port: 0}
      commands: {trust: broker}
      """;

  private static final String RULES_YAML =
      """
      part: housing-31
      features:
        - id: bearing-seat
          gauge: bore-1
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0 mm
        - id: cover-bore
          part: cover-7
          gauge: bore-3
          nominal: 0.8750 in
          upper: +0.0012 in
          lower: 0 in
      """;

  private final Path folder;
  private final Deque<AutoCloseable> toClose = new ArrayDeque<>();
  private final TestBroker broker;
  private final Listener listener;
  private final Plc plc;
  private final PtyPair millimetres;
  private final PtyPair inches;

  Plant(Path folder) throws IOException, InterruptedException {
    Peers.require("mosquitto", "mosquitto_sub", "mosquitto_pub", "mosquitto_rr", "socat");
    this.folder = folder;
    plc = closing(Plc.start());
    broker =
        closing(
            TestBroker.mosquitto(
                "allow_anonymous true",
                "persistence true",
                "autosave_on_changes true",
                "autosave_interval 1"));
    listener = closing(Listener.to(broker.port(), ROOT));
    // Whoever listens is in the broker's file from here on, whatever crash comes.
    ((MosquittoProcess) broker).bounce();
    millimetres = closing(PtyPair.plugged(Files.createDirectory(folder.resolve("bore-1"))));
    inches = closing(PtyPair.plugged(Files.createDirectory(folder.resolve("bore-3"))));
    agentYaml(AGENT_YAML);
    rulesYaml(RULES_YAML);
  }

  private <T extends AutoCloseable> T closing(T part) {
    toClose.push(part);
    return part;
  }

  /** Writes agent.yaml with the test's own ports in it. */
  private void agentYaml(String text) throws IOException {
    write(
        "agent.yaml",
        text.replace("@BROKER@", "" + broker.port())
            .replace("@PLC@", "" + plc.port())
            .replace("@BORE-1@", millimetres.agentEnd().toString())
            .replace("@BORE-3@", inches.agentEnd().toString()));
  }

  /** Puts other words into agent.yaml. */
  void changeAgentYaml(String words, String others) throws IOException {
    String text = Files.readString(folder.resolve("agent.yaml"), StandardCharsets.UTF_8);
    if (!text.contains(words)) {
      throw new IllegalArgumentException("agent.yaml has no " + words);
    }
    write("agent.yaml", text.replace(words, others));
  }

  void rulesYaml(String text) throws IOException {
    write("rules.yaml", text);
  }

  private void write(String file, String text) throws IOException {
    Files.writeString(folder.resolve(file), text, StandardCharsets.UTF_8);
  }

  /** Starts the agent. */
  AgentProcess startAgent() throws IOException {
    return closing(AgentProcess.start(folder, "run"));
  }

  /** Starts the agent and waits for the cell's permit. */
  AgentProcess startPermitted() throws IOException {
    AgentProcess agent = startAgent();
    try {
      plc.awaitPermit();
    } catch (RuntimeException tooLate) {
      throw new AssertionError("no permit; the agent said:\n" + agent.said(), tooLate);
    }
    return agent;
  }

  /** The gauge of the bearing seat, in mm. */
  PtyPair millimetres() {
    return millimetres;
  }

  /** The gauge of the cover, in inches. */
  PtyPair inches() {
    return inches;
  }

  /**
   * Sends values as a gauge does. The first end of line parts them from what a start of the line
   * may have garbled.
   */
  static void send(PtyPair gauge, String... values) throws IOException {
    gauge.send("\r\n" + String.join("\r\n", values) + "\r\n");
  }

  Plc plc() {
    return plc;
  }

  TestBroker broker() {
    return broker;
  }

  /** Somebody who has listened since before the agent was started. */
  Listener listener() {
    return listener;
  }

  /** Somebody who comes now. */
  Listener lateListener() throws IOException, InterruptedException {
    return closing(Listener.to(broker.port(), ROOT));
  }

  Journal journal() {
    return new Journal(folder.resolve("data"));
  }

  /** What a supervisor sends to release the hold as it is shown now. */
  String release() {
    Listener.Heard hold =
        listener.await(
            HOLD,
            message ->
                message.json().at("/recorded").asBoolean()
                    && message.json().at("/hold").asInt() > 0
                    && message.json().at("/conditions").isEmpty());
    return String.format(
        Locale.ROOT,
        "{\"id\":\"%s\",\"cell\":\"cell-4\",\"hold\":%s,\"revision\":%s,\"challenge\":\"%s\","
            + "\"who\":\"supervisor-3\",\"reason\":\"looked-at\",\"needed\":\"yes\"}",
        Generators.timeBasedEpochGenerator().generate(),
        hold.at("/hold"),
        hold.at("/revision"),
        hold.at("/challenge"));
  }

  /** Sends a command in a role over MQTT 5 and gives what came on its response topic. */
  String ask(String role, String name, String command) throws IOException, InterruptedException {
    return Client.ask(broker, role, name, command);
  }

  /** Ends all, the last started first. All that was heard must be as its schema says. */
  void close() throws Exception {
    while (!toClose.isEmpty()) {
      toClose.pop().close();
    }
    List<String> unlike = listener.unlikeTheirSchema();
    if (!unlike.isEmpty()) {
      throw new AssertionError(String.join("\n", unlike));
    }
  }
}

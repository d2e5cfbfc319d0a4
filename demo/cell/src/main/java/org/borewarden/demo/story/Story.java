package org.borewarden.demo.story;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.controller.Part;
import org.borewarden.demo.machine.GaugePort;
import org.borewarden.demo.machine.Hole;
import org.borewarden.demo.machine.Insert;
import org.borewarden.demo.machine.Northworks;
import org.borewarden.demo.machine.Wear;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * The story: parts are cut and measured until the insert has worn so far that the agent withdraws
 * the permit; the cell stops at the end of its part; the setter turns the insert, the supervisor
 * releases, the setter starts the cycle at the machine, and good parts follow. Before it the gauge
 * is set to its ring, and after it the ring shows that it must not be believed.
 */
final class Story implements AutoCloseable {
  private static final String ROOT = "northworks/housings/cell-4";
  private static final String CELL = "cell-4";
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final int MOST_PARTS = 80;
  private static final int PARTS_AFTER = 3;
  private static final long SEED = 20_264;

  private final Account account;
  private final Demo.Places places;
  private final List<AutoCloseable> toClose = new ArrayList<>();
  private final List<Gauge> gauges = new ArrayList<>();
  private final Map<Long, List<String>> cut = new ConcurrentHashMap<>();
  private final Controller controller;
  private final Ear ear;
  private final Telling telling;
  private final RingScene ring;
  private final Insert seat;

  /**
   * A gauge of the demo.
   *
   * @param hole what it measures
   * @param port the byte stream that it sends
   * @param insert what bores that hole
   */
  private record Gauge(Hole hole, GaugePort port, Insert insert) {}

  Story(Demo.Places places, Demo.Pace pace, Account account)
      throws IOException, InterruptedException, StoryException, MqttException {
    this.account = account;
    this.places = places;
    account.line("Northworks, housings, cell 4: a simulated cell, the real agent.");
    account.line("");
    int brokerPort = startBroker();
    controller = Controller.start(Controller.Settings.loopback(pace.cut()));
    toClose.add(controller);
    account.say("controller", "runs the shipped watchdog, Modbus TCP on port " + controller.port());
    seat = new Insert(new Wear(22.0, 1.0, 3, pace.wearMicrometres(), 0.7), SEED);
    openGauge(Northworks.BEARING_SEAT, seat);
    openGauge(Northworks.DOWEL_HOLE, new Insert(Northworks.DOWEL_HOLE.wear(), SEED + 1));
    openGauge(Northworks.COVER_BORE, new Insert(Northworks.COVER_BORE.wear(), SEED + 2));
    ear = new Ear(brokerPort, ROOT);
    toClose.add(ear);
    telling = new Telling(account, ear, controller);
    ring = new RingScene(account, ear, telling, gauges.get(0).port());
    controller.listen(new Cutting());
    startAgent(brokerPort);
  }

  private int startBroker() throws IOException, InterruptedException, StoryException {
    Path log = places.work().resolve("broker.log");
    String jars =
        places.brokerLib().resolve("*")
            + File.pathSeparator
            + places.brokerLib().resolveSibling("*");
    toClose.add(
        Child.start(
            List.of(java(), "-cp", jars, "org.borewarden.demo.broker.Broker", "--port", "0"),
            places.work(),
            log));
    Waiting.until("the broker to listen (" + log + ")", SOON, () -> listening(log).isPresent());
    int port = listening(log).orElseThrow();
    account.say("broker", "MQTT on 127.0.0.1:" + port + ", topics below " + ROOT);
    return port;
  }

  private static Optional<Integer> listening(Path log) {
    try {
      return Files.readAllLines(log, StandardCharsets.UTF_8).stream()
          .filter(line -> line.startsWith("broker listening on "))
          .map(line -> Integer.parseInt(line.substring(line.lastIndexOf(':') + 1).trim()))
          .findFirst();
    } catch (IOException e) {
      return Optional.empty();
    }
  }

  private void openGauge(Hole hole, Insert insert) throws IOException {
    GaugePort port = GaugePort.open(0);
    toClose.add(port);
    gauges.add(new Gauge(hole, port, insert));
  }

  private void startAgent(int brokerPort) throws IOException, InterruptedException, StoryException {
    Path work = places.work();
    Map<String, String> ports =
        Map.of(
            "@BROKER@", String.valueOf(brokerPort),
            "@CONTROLLER@", String.valueOf(controller.port()),
            "@GAUGE1@", String.valueOf(gauges.get(0).port().port()),
            "@GAUGE2@", String.valueOf(gauges.get(1).port().port()),
            "@GAUGE3@", String.valueOf(gauges.get(2).port().port()));
    String config = Files.readString(places.conf().resolve("agent.yaml"), StandardCharsets.UTF_8);
    for (Map.Entry<String, String> port : ports.entrySet()) {
      config = config.replace(port.getKey(), port.getValue());
    }
    Path agentYaml = work.resolve("agent.yaml");
    Files.writeString(agentYaml, config, StandardCharsets.UTF_8);
    Files.copy(places.conf().resolve("rules.yaml"), work.resolve("rules.yaml"));
    long begun = System.nanoTime();
    Path log = work.resolve("agent.log");
    Child agent =
        Child.start(
            List.of(
                places.agent().resolve("bin").resolve("borewarden").toString(),
                "run",
                "--config",
                agentYaml.toString()),
            work,
            log);
    toClose.add(agent);
    Waiting.until(
        "the agent to come online (" + log + ")",
        SOON,
        () -> !agent.alive() || ear.latest("agent").isPresent());
    if (!agent.alive()) {
      throw new StoryException("the agent ended; see " + log);
    }
    account.say(
        "agent",
        "online after "
            + (System.nanoTime() - begun) / 1_000_000
            + " ms; config, rules, journal and logs in "
            + work);
    Waiting.until(
        "the gauges to be connected",
        SOON,
        () -> gauges.stream().allMatch(gauge -> gauge.port().clients() > 0));
  }

  /** Plays the story to its end. */
  void play() throws StoryException, InterruptedException, MqttException {
    account.say("agent", "metrics: " + telling.metricsAddress(places.work().resolve("agent.log")));
    ring.beforeTheShift();
    awaitPermit("the first permit");
    account.line("");
    startCycle();
    cutUntilHeld();
    stopAtPartEnd();
    measureWhatWasCut();
    turnInsert();
    release();
    startCycle();
    for (int part = 0; part < PARTS_AFTER; part++) {
      measureNext();
    }
    account.say("parts", "good parts again; the hold is in the journal with who, why and when");
    account.line("");
    ring.checkFails();
    awaitPermit("the permit for a gauge that is believed again");
    account.line("");
    telling.placesToLook(places.work(), ROOT);
    telling.check();
    telling.end();
  }

  /** What a part measures is decided when it is cut, not when it comes to the gauge. */
  private final class Cutting implements CellListener {
    @Override
    public void partFinished(Part part) {
      synchronized (gauges) {
        cut.put(part.number(), gauges.stream().map(g -> g.hole().line(g.insert().cut())).toList());
      }
    }
  }

  private void awaitPermit(String what) throws StoryException, InterruptedException {
    Waiting.until(what, SOON, () -> controller.state().permit());
    Waiting.until(what + " over MQTT", SOON, () -> telling.permitOverMqtt());
  }

  private void startCycle() throws StoryException, InterruptedException {
    controller.pressStart();
    Waiting.until("the cycle to start", SOON, () -> controller.state().inCycle());
    account.say("setter", "presses cycle start at the machine; the cell cuts");
  }

  private void cutUntilHeld() throws StoryException, InterruptedException {
    for (int part = 0; part < MOST_PARTS && !telling.held(); part++) {
      measureNext();
    }
    if (!telling.held()) {
      throw new StoryException("no hold within " + MOST_PARTS + " parts");
    }
  }

  private void measureNext() throws StoryException, InterruptedException {
    Waiting.until("a part to be finished", SOON, () -> controller.state().partsToGauge() > 0);
    Part part = controller.partToGauge().orElseThrow();
    Waiting.until("the agent to take the part's context", SOON, telling::contextTaken);
    List<String> lines = cut.remove(part.number());
    if (lines == null) {
      throw new StoryException("part " + part.number() + " came to the gauge before it was cut");
    }
    for (int gauge = 0; gauge < gauges.size(); gauge++) {
      gauges.get(gauge).port().send(lines.get(gauge));
    }
    Waiting.until(
        "the verdict of part " + part.number(), SOON, () -> telling.judged(part.number()));
    controller.takeFromGauge();
    telling.part(part);
  }

  private void stopAtPartEnd() throws StoryException, InterruptedException {
    Waiting.until("the cell to hear the hold", SOON, () -> controller.state().heardHold() > 0);
    account.say("cell", "has heard hold " + controller.state().heardHold());
    Waiting.until(
        "the cell to stop at the end of its part",
        SOON,
        () -> controller.state().stoppedAtStart() && !controller.state().inCycle());
    account.say(
        "cell", "stopped at the end of part " + controller.state().partsFinished() + ", no permit");
  }

  /** The parts that were cut before the stop are on the old edge: they are measured first. */
  private void measureWhatWasCut() throws StoryException, InterruptedException {
    while (controller.state().partsToGauge() > 0) {
      measureNext();
    }
  }

  private void turnInsert() throws StoryException, InterruptedException, MqttException {
    synchronized (gauges) {
      seat.change();
    }
    ObjectNode command = ear.command();
    command.put("cell", CELL).put("tool", "7").put("who", "setter-12");
    JsonNode answer = telling.ask("setter", "tool-changed", command);
    telling.evidence(answer.path("seq").asLong());
    account.say("setter", "turns the insert to its next edge and says so: " + telling.code(answer));
  }

  private void release() throws StoryException, InterruptedException, MqttException {
    JsonNode hold = ear.latest("hold/" + CELL).orElseThrow();
    ObjectNode command = ear.command();
    command
        .put("cell", CELL)
        .put("hold", hold.path("hold").asInt())
        .put("revision", hold.path("revision").asInt())
        .put("challenge", hold.path("challenge").asText())
        .put("who", "supervisor-3")
        .put("reason", "insert-changed")
        .put("needed", "yes")
        .put("contain", "measured");
    command.putArray("evidence").add(telling.evidence());
    JsonNode answer = telling.ask("supervisor", "release", command);
    account.say(
        "supervisor",
        "releases hold "
            + hold.path("hold").asInt()
            + " with the tool change as evidence: "
            + telling.code(answer));
    awaitPermit("the permit to come back");
    account.say("cell", "sees the permit again, and waits for a local start");
  }

  @Override
  public void close() {
    for (int last = toClose.size() - 1; last >= 0; last--) {
      try {
        toClose.get(last).close();
      } catch (Exception e) {
        account.say("demo", "while ending: " + e);
      }
    }
  }

  private static String java() {
    return Path.of(System.getProperty("java.home"), "bin", "java").toString();
  }
}

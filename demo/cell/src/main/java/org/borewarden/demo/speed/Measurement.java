package org.borewarden.demo.speed;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.File;
import java.io.IOException;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.machine.GaugePort;
import org.borewarden.demo.story.Child;
import org.borewarden.demo.story.Ear;
import org.borewarden.demo.story.StoryException;
import org.borewarden.demo.story.Waiting;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * One measurement: starts a broker, a controller, a gauge's port and the agent on loopback, and
 * times what comes out against what went in, all by the monotonic clock of this process.
 */
final class Measurement implements AutoCloseable {
  private static final String ROOT = "northworks/housings/cell-4";
  private static final String VERDICT = "verdict/bearing-seat";
  private static final String HOLD = "hold/cell-4";
  private static final String GOOD = "62.012 mm";
  private static final String OVERSIZE = "62.050 mm";
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final Duration LONG = Duration.ofMinutes(15);
  private static final long PACE_NANOS = TimeUnit.MILLISECONDS.toNanos(10);
  private static final int WARM_READINGS = 200;
  private static final int WARM_HOLDS = 10;

  private final Path distribution;
  private final Path brokerLib;
  private final Path work;
  private final Options options;
  private final PrintStream out;
  private final List<AutoCloseable> toClose = new ArrayList<>();
  private final Permit permit = new Permit();
  private final AtomicLong verdicts = new AtomicLong();
  private volatile long lastVerdict;
  private volatile long online;

  Measurement(Path distribution, Path brokerLib, Path work, Options options, PrintStream out) {
    this.distribution = distribution;
    this.brokerLib = brokerLib;
    this.work = work;
    this.options = options;
    this.out = out;
  }

  void run() throws IOException, InterruptedException, StoryException, MqttException {
    int brokerPort = freePort();
    Controller controller = Controller.start(Controller.Settings.loopback(Duration.ofSeconds(1)));
    toClose.add(controller);
    controller.listen(permit);
    GaugePort gauge = GaugePort.open(0);
    toClose.add(gauge);
    Files.writeString(
        work.resolve("agent.yaml"),
        Settings.agent(brokerPort, controller.port(), gauge.port()),
        StandardCharsets.UTF_8);
    Files.writeString(work.resolve("rules.yaml"), Settings.RULES, StandardCharsets.UTF_8);
    if (options.busy()) {
      busy();
      busy();
    }
    out.println("load beside the measurement: " + options.load());
    if (options.backlog() > 0) {
      behindABacklog(brokerPort, gauge);
    } else {
      afresh(brokerPort, gauge);
    }
  }

  private void afresh(int brokerPort, GaugePort gauge)
      throws IOException, InterruptedException, StoryException, MqttException {
    broker(brokerPort);
    Ear ear = ear(brokerPort, List.of("agent", VERDICT, HOLD, "answer/#"));
    long begun = System.nanoTime();
    Agent agent = agent();
    Waiting.until("the agent to come online (" + agent.log() + ")", SOON, () -> online != 0);
    double start = (online - begun) / 1e9;
    awaitPermit();
    double rss = agent.memory("VmRSS");
    timeVerdicts(gauge, WARM_READINGS);
    timeHolds(gauge, ear, WARM_HOLDS);
    Times toVerdict = timeVerdicts(gauge, options.readings());
    Times toHold = timeHolds(gauge, ear, options.holds());
    say("process start to online at a subscriber: %.2f s", start);
    table(toVerdict, toHold);
    memory(rss, agent);
  }

  private void behindABacklog(int brokerPort, GaugePort gauge)
      throws IOException, InterruptedException, StoryException, MqttException {
    Agent agent = agent();
    awaitPermit();
    double rss = agent.memory("VmRSS");
    long begun = System.nanoTime();
    for (int n = 0; n < options.backlog(); n++) {
      gauge.send(GOOD);
    }
    awaitMetric(agent, "borewarden_bores_total", options.backlog());
    say(
        "readings journalled while the broker was away: %d, %.0f a second",
        options.backlog(), options.backlog() / ((System.nanoTime() - begun) / 1e9));
    broker(brokerPort);
    Ear ear = ear(brokerPort, List.of("agent", VERDICT, HOLD, "answer/#"));
    Waiting.until("the agent to come online", SOON, () -> online != 0);
    long first = verdicts.get();
    Times toHold = timeHolds(gauge, ear, options.holds());
    long last = verdicts.get();
    say("verdicts of the backlog heard: %d at the first hold, %d at the last", first, last);
    table(new Times(), toHold);
    memory(rss, agent);
  }

  /** One reading at a time: from before its bytes are sent until its verdict is parsed here. */
  private Times timeVerdicts(GaugePort gauge, int count)
      throws StoryException, InterruptedException {
    Times times = new Times();
    for (int n = 0; n < count; n++) {
      long heard = verdicts.get();
      long sent = System.nanoTime();
      gauge.send(GOOD);
      spin("a verdict", () -> verdicts.get() > heard);
      times.add(lastVerdict - sent);
      LockSupport.parkNanos(PACE_NANOS);
    }
    return times;
  }

  /** One hold at a time, each released by the supervisor before the next. */
  private Times timeHolds(GaugePort gauge, Ear ear, int count)
      throws StoryException, InterruptedException, MqttException {
    Times times = new Times();
    for (int n = 0; n < count; n++) {
      awaitPermit();
      long sent = System.nanoTime();
      gauge.send(OVERSIZE);
      spin("the permit to go", () -> !permit.given());
      times.add(permit.gone() - sent);
      release(ear);
    }
    awaitPermit();
    return times;
  }

  private void release(Ear ear) throws StoryException, InterruptedException, MqttException {
    long end = System.nanoTime() + SOON.toNanos();
    while (!permit.given()) {
      if (System.nanoTime() > end) {
        throw new StoryException("the hold was not released within " + SOON.toSeconds() + " s");
      }
      JsonNode hold = ear.latest(HOLD).orElseThrow();
      if (hold.path("hold").asInt() > 0) {
        ear.send("supervisor", "release", release(ear.command(), hold));
      }
      // A release of a revision that has passed is refused; the next one quotes the new one.
      long again = System.nanoTime() + Math.max(50, 3L * options.slowSyncMillis()) * 1_000_000;
      while (!permit.given() && System.nanoTime() < again) {
        Thread.onSpinWait();
        LockSupport.parkNanos(PACE_NANOS / 10);
      }
    }
  }

  private static ObjectNode release(ObjectNode command, JsonNode hold) {
    return command
        .put("cell", "cell-4")
        .put("hold", hold.path("hold").asInt())
        .put("revision", hold.path("revision").asInt())
        .put("challenge", hold.path("challenge").asText())
        .put("who", "supervisor-3")
        .put("reason", "measuring")
        .put("needed", "no")
        .put("contain", "measured");
  }

  private void awaitPermit() throws StoryException, InterruptedException {
    Waiting.until("the permit", SOON, permit::given);
  }

  private static void awaitMetric(Agent agent, String name, int least)
      throws StoryException, IOException, InterruptedException {
    long end = System.nanoTime() + LONG.toNanos();
    while (agent.metric(name) < least) {
      if (System.nanoTime() > end || !agent.alive()) {
        throw new StoryException("waited for " + name + " to reach " + least);
      }
      Thread.sleep(500);
    }
  }

  private static void spin(String what, java.util.function.BooleanSupplier condition)
      throws StoryException {
    long end = System.nanoTime() + SOON.toNanos();
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new StoryException("waited " + SOON.toSeconds() + " s for " + what);
      }
      LockSupport.parkNanos(PACE_NANOS / 100);
    }
  }

  private void broker(int port) throws IOException, InterruptedException, StoryException {
    Path log = work.resolve("broker.log");
    String jars = brokerLib.resolve("*") + File.pathSeparator + brokerLib.resolveSibling("*");
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    toClose.add(Child.start(Settings.broker(work, java, jars, port), work, log));
    Waiting.until("the broker to listen (" + log + ")", SOON, () -> Settings.answers(port));
  }

  private Ear ear(int port, List<String> filters) throws MqttException {
    Ear ear = new Ear(port, ROOT, filters);
    toClose.add(ear);
    ear.listen(
        (below, message) -> {
          if (below.equals(VERDICT)) {
            lastVerdict = System.nanoTime();
            verdicts.incrementAndGet();
          } else if (below.equals("agent") && message.path("state").asText().equals("online")) {
            online = System.nanoTime();
          }
        });
    return ear;
  }

  private Agent agent() throws IOException {
    Agent agent = Agent.start(distribution, work, options);
    toClose.add(agent);
    return agent;
  }

  private void busy() throws IOException {
    List<String> command = new ArrayList<>();
    if (options.raised()) {
      command.addAll(List.of("nice", "-n", Integer.toString(Options.RAISED)));
    }
    command.addAll(List.of("sh", "-c", "while :; do :; done"));
    toClose.add(Child.start(command, work, work.resolve("busy.log")));
  }

  private void table(Times toVerdict, Times toHold) {
    out.println("| from the last byte of a reading to | count | median ms | p99 ms | max ms |");
    out.println("|---|---|---|---|---|");
    out.println(toVerdict.row("its verdict at a subscriber, after the sync"));
    out.println(toHold.row("the permit gone from the controller's registers"));
  }

  private void memory(double rss, Agent agent) throws StoryException, IOException {
    say(
        "resident memory: %.0f MB at the first permit, %.0f MB at the end, %.0f MB at most",
        rss, agent.memory("VmRSS"), agent.memory("VmHWM"));
  }

  private void say(String format, Object... values) {
    out.println(String.format(Locale.ROOT, format, values));
  }

  private static int freePort() throws IOException {
    try (ServerSocket probe = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return probe.getLocalPort();
    }
  }

  @Override
  public void close() {
    for (int last = toClose.size() - 1; last >= 0; last--) {
      try {
        toClose.get(last).close();
      } catch (Exception e) {
        out.println("while ending: " + e);
      }
    }
  }
}

package org.borewarden.agent.proof;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BooleanSupplier;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.machine.GaugePort;
import org.borewarden.demo.story.Ear;
import org.eclipse.paho.mqttv5.common.MqttException;

/** The agent as a process on a simulated cell, to be killed and started again. */
final class KilledAgent implements AutoCloseable {
  static final String ROOT = "northworks/housings/cell-4";
  private static final String HOLD = "hold/cell-4";
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final int PERMIT_WORD = 2;
  private static final int BOOT_WORD = 4;

  private final Path folder;
  private final Controller controller;
  private final GaugePort gauge;
  private final Ear ear;
  private final AtomicInteger boot = new AtomicInteger();
  private final AtomicInteger oldBoot = new AtomicInteger();
  private final AtomicInteger permits = new AtomicInteger();
  // Written on the broker client's thread.
  private volatile Optional<JsonNode> synced = Optional.empty();
  private Optional<Process> process = Optional.empty();

  KilledAgent(Path folder, int broker) throws Exception {
    this.folder = folder;
    this.controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)));
    this.gauge = GaugePort.open(0);
    this.ear = new Ear(broker, ROOT, List.of(HOLD, "answer/#"));
    controller.listen(new Image());
    ear.listen(
        (below, message) -> {
          if (below.equals(HOLD) && message.hasNonNull("seq")) {
            synced = Optional.of(message);
          }
        });
    Files.writeString(
        folder.resolve("rules.yaml"),
        """
        part: housing-31
        features:
          - {id: bearing-seat, gauge: bore-1, nominal: 62.000 mm, upper: +0.030 mm, lower: 0 mm}
        """,
        StandardCharsets.UTF_8);
    Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: %s
        rules: rules.yaml
        data: data
        broker: mqtt://127.0.0.1:%d
        gauges:
          - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
        cells:
          - id: cell-4
            modbus: {host: 127.0.0.1, port: %d, base: 100, cell-base: 200}
            mqtt: informs
        http: {port: 0}
        commands: {trust: broker}
        """
            .formatted(ROOT, broker, gauge.port(), controller.port()),
        StandardCharsets.UTF_8);
  }

  /** Counts permits of any boot but the one that was killed. Called on the connection's thread. */
  private final class Image implements CellListener {
    @Override
    public void written(int[] blockA) {
      boot.set(blockA[BOOT_WORD]);
      boolean permit = (blockA[PERMIT_WORD] & 1) != 0;
      if (permit && blockA[BOOT_WORD] != oldBoot.get()) {
        permits.incrementAndGet();
      }
    }
  }

  void start() throws IOException {
    permits.set(0);
    process =
        Optional.of(
            new ProcessBuilder(
                    Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                    "-Xmx64m",
                    "-XX:+UseSerialGC",
                    "-XX:TieredStopAtLevel=1",
                    "-cp",
                    System.getProperty("java.class.path"),
                    "org.borewarden.agent.Main",
                    "run",
                    "--config",
                    folder.resolve("agent.yaml").toString())
                .redirectErrorStream(true)
                .redirectOutput(
                    ProcessBuilder.Redirect.appendTo(folder.resolve("agent.log").toFile()))
                .start());
  }

  /** Kills it without a word; returns the causes of the last synced hold that was told. */
  Set<String> kill() throws InterruptedException {
    Process running = process.orElseThrow();
    running.toHandle().destroyForcibly();
    if (!running.waitFor(SOON.toSeconds(), TimeUnit.SECONDS)) {
      throw new AssertionError("it was not killed");
    }
    oldBoot.set(boot.get());
    // What the kernel still has of the dead process is let in, and is of the old boot.
    return causes();
  }

  Set<String> causes() {
    Set<String> causes = new TreeSet<>();
    synced.ifPresent(hold -> hold.path("causes").forEach(c -> causes.add(text(c))));
    return causes;
  }

  private static String text(JsonNode cause) {
    return cause.path("cause").asText();
  }

  /** Waits until the new run has proved all its evidence and told of its unclean stop. */
  void awaitHeldAfterStart(long seqBefore) throws InterruptedException {
    await(
        "a synced hold without conditions, with unclean-stop",
        () ->
            seq() > seqBefore
                && causes().contains("unclean-stop")
                && synced.orElseThrow().path("conditions").isEmpty()
                && boot.get() != oldBoot.get());
  }

  long seq() {
    return synced.map(hold -> hold.path("seq").asLong()).orElse(0L);
  }

  /** Permits that this run has shown to the controller. */
  int permits() {
    return permits.get();
  }

  void bore(String value) {
    gauge.send(value + " mm");
  }

  void loseGauge() {
    gauge.dropClients();
  }

  void awaitPermit() throws InterruptedException {
    await("a permit at the controller", () -> permits.get() > 0);
  }

  /** Asks until the permit is there: a condition of the start may refuse the first release. */
  void releaseUntilPermitted() throws Exception {
    long end = System.nanoTime() + SOON.toNanos();
    while (permits.get() == 0) {
      if (System.nanoTime() > end) {
        throw new AssertionError("no permit after a release; hold " + synced);
      }
      ask("release", Optional.empty());
      long again = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(500);
      await("a moment", () -> permits.get() > 0 || System.nanoTime() > again);
    }
    await("the record of the release", () -> causes().isEmpty());
  }

  /** Asks for a release, a trial or a bypass of the hold as it was last told. */
  void ask(String name, Optional<Integer> number) throws Exception {
    Optional<JsonNode> told = synced;
    if (told.isEmpty()) {
      return;
    }
    JsonNode hold = told.get();
    ObjectNode command = ear.command();
    command
        .put("cell", "cell-4")
        .put("hold", hold.path("hold").asInt())
        .put("revision", hold.path("revision").asInt())
        .put("challenge", hold.path("challenge").asText())
        .put("who", "supervisor-3")
        .put("reason", "proof");
    if (name.equals("bypass")) {
      command.put("minutes", number.orElse(5));
      hold.path("causes").forEach(c -> command.withArray("causes").add(text(c)));
    } else {
      command.put("needed", "yes").put("contain", "measured");
      number.ifPresent(parts -> command.put("parts", parts));
    }
    ear.send("supervisor", name, command);
  }

  static void await(String what, BooleanSupplier done) throws InterruptedException {
    long end = System.nanoTime() + SOON.toNanos();
    Object pause = new Object();
    while (!done.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new AssertionError("waited in vain for " + what);
      }
      synchronized (pause) {
        pause.wait(2);
      }
    }
  }

  @Override
  public void close() throws IOException {
    process.ifPresent(Process::destroyForcibly);
    try {
      ear.close();
    } catch (MqttException e) {
      throw new IOException("leaving the broker", e);
    }
    gauge.close();
    controller.close();
  }
}

package org.borewarden.agent.proof;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Predicate;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.demo.story.Ear;
import org.eclipse.paho.mqttv5.common.MqttException;

/** The agent as a process on several simulated cells, to be killed and started again. */
final class KilledAgent implements AutoCloseable {
  private static final String ROOT = "northworks/housings/line-2";

  /** A start on a machine with twenty others to serve takes more than a minute. */
  private static final Duration SOON = Duration.ofMinutes(3);

  private static final int LAST_WORDS = 3_000;

  private final Path folder;
  private final TestBroker broker;
  private final List<KilledCell> cells = new ArrayList<>();
  private Ear ear;
  private Optional<Process> process = Optional.empty();

  KilledAgent(Path folder, TestBroker broker, int count) throws Exception {
    this.folder = folder;
    this.broker = broker;
    for (int number = 1; number <= count; number++) {
      cells.add(new KilledCell(number));
    }
    this.ear = ear();
    write("rules.yaml", rules());
    write("agent.yaml", config());
  }

  private void write(String name, String text) throws IOException {
    Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
  }

  private String rules() {
    StringBuilder rules = new StringBuilder("part: housing-31\nfeatures:\n");
    for (KilledCell cell : cells) {
      rules.append(
          """
            - {id: seat-%1$s, gauge: bore-%1$s, cell: %1$s,
               nominal: 62.000 mm, upper: +0.030 mm, lower: 0 mm}
          """
              .formatted(cell.id));
    }
    return rules.toString();
  }

  private String config() {
    StringBuilder gauges = new StringBuilder();
    StringBuilder paths = new StringBuilder();
    for (KilledCell cell : cells) {
      gauges.append(
          "  - {id: bore-%s, tcp: \"127.0.0.1:%d\", unit: mm}\n"
              .formatted(cell.id, cell.gauge.port()));
      paths.append(
          """
            - {id: %s, modbus: {host: 127.0.0.1, port: %d, base: 100, cell-base: 200}, mqtt: informs}
          """
              .formatted(cell.id, cell.controller.port()));
    }
    return """
    agent: northworks-line-2
    root: %s
    rules: rules.yaml
    data: data
    broker: mqtt://127.0.0.1:%d
    gauges:
    %scells:
    %shttp: {port: 0}
    commands: {trust: broker}
    """
        .formatted(ROOT, broker.port(), gauges, paths);
  }

  private Ear ear() throws MqttException {
    Ear hearing = new Ear(broker.port(), ROOT, List.of("hold/+", "answer/#"));
    hearing.listen(
        (below, message) ->
            cells.stream()
                .filter(cell -> below.equals("hold/" + cell.id))
                .forEach(cell -> cell.hear(message)));
    return hearing;
  }

  List<KilledCell> cells() {
    return cells;
  }

  void start() throws IOException {
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

  /** Kills it without a word. */
  void kill() throws InterruptedException {
    Process running = process.orElseThrow();
    running.toHandle().destroyForcibly();
    if (!running.waitFor(SOON.toSeconds(), TimeUnit.SECONDS)) {
      throw new AssertionError("it was not killed");
    }
    cells.forEach(KilledCell::killed);
  }

  /** Kills the broker; what it had not written is gone. */
  void killBroker() {
    broker.kill();
  }

  /** Starts the broker, empty, and listens again. */
  void startBroker() throws MqttException {
    broker.restart();
    ear.close();
    ear = ear();
  }

  /** Waits until something is so for each cell. */
  void awaitEach(String what, Predicate<KilledCell> so) throws InterruptedException {
    try {
      awaitEach(what, cells, so);
    } catch (AssertionError inVain) {
      throw new AssertionError(inVain.getMessage() + "\nthe agent said last: " + lastWords());
    }
  }

  private String lastWords() {
    try {
      String said = Files.readString(folder.resolve("agent.log"), StandardCharsets.UTF_8);
      return said.substring(Math.max(0, said.length() - LAST_WORDS));
    } catch (IOException silent) {
      return "nothing: " + silent;
    }
  }

  static void awaitEach(String what, List<KilledCell> some, Predicate<KilledCell> so)
      throws InterruptedException {
    for (KilledCell cell : some) {
      await(what + " at " + cell.id, () -> so.test(cell), () -> cell.told().toString());
    }
  }

  /** Asks, and asks again, until it is so for each: the first may meet an older revision. */
  void askUntil(
      String command, Optional<Integer> number, List<KilledCell> some, Predicate<KilledCell> so)
      throws Exception {
    long end = System.nanoTime() + SOON.toNanos();
    while (!some.stream().allMatch(so)) {
      if (System.nanoTime() > end) {
        throw new AssertionError(
            command
                + " in vain: "
                + some.stream().filter(so.negate()).map(KilledCell::told).toList());
      }
      for (KilledCell cell : some) {
        if (!so.test(cell)) {
          ask(cell, command, number);
        }
      }
      long again = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(700);
      await("a moment", () -> some.stream().allMatch(so) || System.nanoTime() > again, () -> "");
    }
  }

  /** Releases every hold. */
  void releaseAll() throws Exception {
    askUntil("release", Optional.empty(), cells, cell -> cell.permits() > 0);
    awaitEach("the record of the release", cell -> cell.causes().isEmpty());
  }

  /** Asks for a release, a trial or a bypass of the hold as it was last told. */
  void ask(KilledCell cell, String name, Optional<Integer> number) throws Exception {
    if (cell.told().isEmpty()) {
      return;
    }
    var hold = cell.told().get();
    ObjectNode command = ear.command();
    command
        .put("cell", cell.id)
        .put("hold", hold.path("hold").asInt())
        .put("revision", hold.path("revision").asInt())
        .put("challenge", hold.path("challenge").asText())
        .put("who", "supervisor-3")
        .put("reason", "proof");
    if (name.equals("bypass")) {
      command.put("minutes", number.orElse(5));
      cell.causes().forEach(command.withArray("causes")::add);
    } else {
      command.put("needed", "yes").put("contain", "measured");
      number.ifPresent(parts -> command.put("parts", parts));
    }
    ear.send("supervisor", name, command);
  }

  static void await(String what, BooleanSupplier done) throws InterruptedException {
    await(what, done, () -> "");
  }

  private static void await(
      String what, BooleanSupplier done, java.util.function.Supplier<String> found)
      throws InterruptedException {
    long end = System.nanoTime() + SOON.toNanos();
    Object pause = new Object();
    while (!done.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new AssertionError("waited in vain for " + what + "; " + found.get());
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
    for (KilledCell cell : cells) {
      cell.close();
    }
  }
}

package org.borewarden.agent.faults;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** The agent's own program as a process, from the test's class path, on the files of a folder. */
final class AgentRun implements AutoCloseable {
  private static final long END_SECONDS = 60;

  private final Path folder;
  private final List<String> watcher;
  private Optional<Process> process = Optional.empty();

  AgentRun(Path folder) {
    this(folder, List.of());
  }

  /** The same below a program that watches it or shows it another clock. */
  AgentRun(Path folder, List<String> watcher) {
    this.folder = folder;
    this.watcher = List.copyOf(watcher);
  }

  Path data() {
    return folder.resolve("data");
  }

  static void file(Path folder, String name, String text) throws IOException {
    Files.createDirectories(folder);
    Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
  }

  void start() throws IOException {
    List<String> command = new ArrayList<>(watcher);
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-Xmx64m",
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-cp",
            System.getProperty("java.class.path"),
            "org.borewarden.agent.Main",
            "run",
            "--config",
            folder.resolve("agent.yaml").toString()));
    process =
        Optional.of(
            new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.appendTo(log().toFile()))
                .start());
  }

  /** kill -9. */
  void kill() throws InterruptedException {
    Process running = process.orElseThrow();
    running.descendants().forEach(ProcessHandle::destroyForcibly);
    running.destroyForcibly();
    awaitEnd(running);
  }

  /** SIGTERM, as a service manager sends it. */
  void stop() throws InterruptedException {
    Process running = process.orElseThrow();
    // A watcher that stays passes no signal on.
    if (running.descendants().findAny().isEmpty()) {
      running.destroy();
    } else {
      running.descendants().forEach(ProcessHandle::destroy);
    }
    awaitEnd(running);
  }

  private static void awaitEnd(Process running) throws InterruptedException {
    if (!running.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
      throw new AssertionError("the agent did not end");
    }
  }

  /** The process, for signals and for looking at its memory. */
  long pid() {
    return process.orElseThrow().pid();
  }

  boolean alive() {
    return process.map(Process::isAlive).orElse(false);
  }

  private Path log() {
    return folder.resolve("agent.log");
  }

  String said() throws IOException {
    return Files.readString(log(), StandardCharsets.UTF_8);
  }

  boolean hasSaid(String words) throws IOException {
    return said().contains(words);
  }

  @Override
  public void close() {
    process.ifPresent(
        running -> {
          running.descendants().forEach(ProcessHandle::destroyForcibly);
          running.destroyForcibly();
        });
  }
}

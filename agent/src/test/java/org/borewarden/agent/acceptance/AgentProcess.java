package org.borewarden.agent.acceptance;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The built distribution as a process, with what it says in a file. */
final class AgentProcess implements AutoCloseable {
  private static final Path DIST =
      Path.of(Optional.ofNullable(System.getProperty("borewarden.dist")).orElseThrow());
  private static final Pattern METRICS = Pattern.compile("metrics on (http://[0-9.:]+)/metrics");
  private static final Duration END = Duration.ofSeconds(60);

  private final Process process;
  private final Path output;
  private final HttpClient http = HttpClient.newHttpClient();

  private AgentProcess(Process process, Path output) {
    this.process = process;
    this.output = output;
  }

  /** Runs one of its commands on the agent.yaml of a folder. */
  static AgentProcess start(Path folder, String command) throws IOException {
    Path output = Files.createTempFile(folder, command + "-", ".log");
    ProcessBuilder builder =
        new ProcessBuilder(
                DIST.resolve("bin/borewarden").toAbsolutePath().toString(),
                command,
                "--config",
                folder.resolve("agent.yaml").toString())
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(output.toFile());
    builder.environment().put("JAVA_HOME", System.getProperty("java.home"));
    return new AgentProcess(builder.start(), output);
  }

  /** All that it said so far. */
  String said() {
    try {
      return Files.readString(output, StandardCharsets.UTF_8);
    } catch (IOException gone) {
      throw new UncheckedIOException(gone);
    }
  }

  void awaitSaid(String words) {
    Waiting.until("the agent to say: " + words, () -> said().contains(words));
  }

  boolean alive() {
    return process.isAlive();
  }

  long pid() {
    return process.pid();
  }

  /** Waits for its end and gives its exit code. */
  int exit() throws InterruptedException {
    if (!process.waitFor(END.toSeconds(), TimeUnit.SECONDS)) {
      throw new AssertionError("it did not end within " + END + ": " + said());
    }
    return process.exitValue();
  }

  /** Asks it to stop, as a service manager does, and tells how long that took. */
  Duration terminate() throws InterruptedException {
    long from = System.nanoTime();
    process.destroy();
    exit();
    return Duration.ofNanos(System.nanoTime() - from);
  }

  /** As a crash or a power cut does. */
  void kill() throws InterruptedException {
    process.destroyForcibly();
    exit();
  }

  void signal(String name) throws IOException, InterruptedException {
    Client.run("kill", "-" + name, Long.toString(pid()));
  }

  /** A page of its health server. */
  HttpResponse<String> page(String path) throws IOException, InterruptedException {
    String base =
        Waiting.first(
            "the address of the metrics",
            () -> Optional.of(METRICS.matcher(said())).filter(Matcher::find).map(m -> m.group(1)));
    return http.send(
        HttpRequest.newBuilder(URI.create(base + path)).build(),
        HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
  }

  /** Waits until the metrics hold a line. */
  void awaitMetric(String line) {
    Waiting.until("the metric " + line, () -> metrics().lines().anyMatch(line::equals));
  }

  private String metrics() {
    try {
      return page("/metrics").body();
    } catch (IOException broken) {
      throw new UncheckedIOException(broken);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(stop);
    }
  }

  @Override
  public void close() {
    process.destroyForcibly().onExit().join();
  }
}

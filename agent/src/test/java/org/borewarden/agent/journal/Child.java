package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/** A {@link WriterProcess} and what it has said. */
final class Child implements AutoCloseable {
  private final Process process;
  private final BufferedReader lines;
  private final Set<Long> acknowledged = new HashSet<>();
  private long durable;
  private int recoveries;

  private Child(Process process) {
    this.process = process;
    this.lines =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
  }

  static Child start(WriterProcess.Mode mode, Path data, Path scratch) throws IOException {
    return start(List.of(), mode, data, scratch);
  }

  /** The same below a program that watches it. */
  static Child start(List<String> watcher, WriterProcess.Mode mode, Path data, Path scratch)
      throws IOException {
    Path nativeFolder = Files.createDirectories(scratch.resolve("native"));
    List<String> command = new ArrayList<>(watcher);
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-Xmx96m",
            "-Dorg.sqlite.tmpdir=" + nativeFolder,
            "-cp",
            System.getProperty("java.class.path"),
            WriterProcess.class.getName(),
            mode.name(),
            data.toString()));
    Process process =
        new ProcessBuilder(command).redirectError(scratch.resolve("child.log").toFile()).start();
    Child child = new Child(process);
    String first = child.next();
    assertThat(first).as(() -> log(scratch)).startsWith("started ");
    child.durable = Long.parseLong(first.split(" ", 2)[1]);
    return child;
  }

  long pid() {
    return process.pid();
  }

  long durable() {
    return durable;
  }

  Set<Long> acknowledged() {
    return acknowledged;
  }

  void readLines(int count) throws IOException {
    for (int i = 0; i < count; i++) {
      assertThat(next()).isNotEqualTo("ended");
    }
  }

  /** What was said up to now, as far as it has arrived. */
  void readWhatIsThere() throws IOException {
    while (lines.ready()) {
      assertThat(next()).isNotEqualTo("ended");
    }
  }

  void readUntilDurable(long seq) throws IOException {
    while (durable < seq) {
      assertThat(next()).isNotEqualTo("ended");
    }
  }

  void readUntilRecovered(int times) throws IOException {
    while (recoveries < times) {
      assertThat(next()).isNotEqualTo("ended");
    }
  }

  /** Stops all of the process's threads where they are; Linux only. */
  void freeze() throws IOException, InterruptedException {
    assertThat(Machine.run("kill", "-STOP", Long.toString(pid()))).isEmpty();
    Path threads = Path.of("/proc", Long.toString(pid()), "task");
    Stores.await("all threads are stopped", () -> allStopped(threads));
  }

  /** The process is gone at once (kill -9), and all that it said is read. */
  void kill() throws IOException, InterruptedException {
    // By its handle: the process object would close the pipe before the last lines are read.
    process.descendants().forEach(ProcessHandle::destroyForcibly);
    process.toHandle().destroyForcibly();
    assertThat(process.waitFor(30, TimeUnit.SECONDS)).isTrue();
    String line = next();
    while (!line.equals("ended")) {
      line = next();
    }
  }

  @Override
  public void close() {
    process.descendants().forEach(ProcessHandle::destroyForcibly);
    process.destroyForcibly();
  }

  private String next() throws IOException {
    String line = lines.readLine();
    if (line == null) {
      return "ended";
    }
    String[] words = line.split(" ", 2);
    // The last line of a killed process may be cut; a cut number is a smaller promise.
    if (words[0].equals("durable") && words.length == 2 && !words[1].isEmpty()) {
      durable = Math.max(durable, Long.parseLong(words[1]));
    } else if (words[0].equals("acknowledged") && words.length == 2 && !words[1].isEmpty()) {
      acknowledged.add(Long.parseLong(words[1]));
    } else if (words[0].equals("recovered")) {
      recoveries++;
    }
    return line;
  }

  private static boolean allStopped(Path threads) {
    try (Stream<Path> each = Files.list(threads)) {
      return each.allMatch(Child::isStopped);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static boolean isStopped(Path thread) {
    try {
      String stat = Files.readString(thread.resolve("stat"), StandardCharsets.UTF_8);
      return stat.startsWith("T", stat.lastIndexOf(')') + 2);
    } catch (IOException e) {
      // A thread that has ended meanwhile does nothing more either.
      return true;
    }
  }

  private static String log(Path scratch) {
    try {
      return Files.readString(scratch.resolve("child.log"), StandardCharsets.UTF_8);
    } catch (IOException e) {
      return "no log: " + e;
    }
  }
}

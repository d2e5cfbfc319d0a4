package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
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
  private final Writer orders;
  private final Set<Long> acknowledged = new HashSet<>();
  private boolean started;
  private long durable;
  private int recoveries;

  private Child(Process process) {
    this.process = process;
    this.lines =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
    this.orders = new OutputStreamWriter(process.getOutputStream(), StandardCharsets.UTF_8);
  }

  static Child start(WriterProcess.Mode mode, Path data, Path scratch) throws IOException {
    return start(List.of(), mode, data, scratch);
  }

  /** The same below a program that watches it. */
  static Child start(List<String> watcher, WriterProcess.Mode mode, Path data, Path scratch)
      throws IOException {
    Child child = begin(watcher, mode, data, scratch);
    assertThat(child.next()).as(() -> log(scratch)).startsWith("started ");
    return child;
  }

  /** The same, not waiting until the journal is open. */
  static Child begin(List<String> watcher, WriterProcess.Mode mode, Path data, Path scratch)
      throws IOException {
    Path nativeFolder = Files.createDirectories(scratch.resolve("native"));
    List<String> command = new ArrayList<>(watcher);
    command.addAll(
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-Xmx96m",
            // Of a file system that was cut off, a page in memory may be gone as well: SIGBUS.
            "-XX:ErrorFile=" + scratch.resolve("crash-%p.log"),
            "-Dorg.sqlite.tmpdir=" + nativeFolder,
            "-cp",
            System.getProperty("java.class.path"),
            WriterProcess.class.getName(),
            mode.name(),
            data.toString()));
    return new Child(
        new ProcessBuilder(command).redirectError(scratch.resolve("child.log").toFile()).start());
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

  void readUntilStarted() throws IOException {
    while (!started) {
      assertThat(next()).isNotEqualTo("ended");
    }
  }

  /** Whether it has said that its journal is open. */
  boolean hasStarted() {
    return started;
  }

  /** Lets so much time go by, or less when it ends. */
  void leaveAlone(Duration time) throws InterruptedException {
    process.waitFor(time.toMillis(), TimeUnit.MILLISECONDS);
  }

  /** Gives it an order; see {@link WriterProcess}. */
  void tell(String order) throws IOException {
    orders.write(order + "\n");
    orders.flush();
  }

  /**
   * Takes no notice of what it says until it has closed its journal.
   *
   * @return false when it has ended before
   */
  boolean hasClosed() throws IOException {
    String line = lines.readLine();
    while (line != null && !line.equals("closed")) {
      line = lines.readLine();
    }
    return line != null;
  }

  /** Tells one that has closed its journal to open one; what it had promised is forgotten. */
  void open(Path data) throws IOException {
    started = false;
    durable = 0;
    tell("open " + data);
  }

  /** Waits until all of the process's threads are stopped; Linux only. */
  void awaitStopped() throws InterruptedException {
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
    if (words[0].equals("started")) {
      started = true;
      durable = Long.parseLong(words[1]);
    } else if (words[0].equals("durable") && words.length == 2 && !words[1].isEmpty()) {
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

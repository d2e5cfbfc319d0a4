package org.borewarden.demo.speed;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.demo.story.Child;
import org.borewarden.demo.story.StoryException;

/** The built distribution as a process, perhaps below {@code strace}, which holds up its syncs. */
final class Agent implements AutoCloseable {
  private static final Pattern METRICS = Pattern.compile("http://\\S+/metrics");

  private final Child child;
  private final Path log;
  private final HttpClient http = HttpClient.newHttpClient();

  private Agent(Child child, Path log) {
    this.child = child;
    this.log = log;
  }

  static Agent start(Path distribution, Path work, Options options) throws IOException {
    List<String> command = new ArrayList<>();
    if (options.slowSyncMillis() > 0) {
      command.addAll(
          List.of(
              "strace",
              "-f",
              "--seccomp-bpf",
              "-o",
              work.resolve("strace.log").toString(),
              "-e",
              "trace=fdatasync,fsync",
              "-e",
              "inject=fdatasync,fsync:delay_enter="
                  + options.slowSyncMillis() * 1000L
                  + (options.slowSyncEvery() == 1 ? "" : ":when=1+" + options.slowSyncEvery())));
    }
    command.addAll(
        List.of(
            distribution.resolve("bin").resolve("borewarden").toString(),
            "run",
            "--config",
            work.resolve("agent.yaml").toString()));
    Path log = work.resolve("agent.log");
    return new Agent(Child.start(command, work, log), log);
  }

  boolean alive() {
    return child.alive();
  }

  Path log() {
    return log;
  }

  /** A line of {@code /proc/PID/status} in MB, such as {@code VmRSS}. */
  double memory(String line) throws StoryException, IOException {
    ProcessHandle top = ProcessHandle.of(child.pid()).orElseThrow();
    long pid = top.descendants().findFirst().orElse(top).pid();
    for (String text : Files.readAllLines(Path.of("/proc/" + pid + "/status"))) {
      if (text.startsWith(line + ":")) {
        return Long.parseLong(text.replaceAll("\\D", "")) / 1024.0;
      }
    }
    throw new StoryException("/proc/" + pid + "/status has no line " + line);
  }

  /** The value of a metric: the sum over its labels. */
  double metric(String name) throws StoryException, IOException, InterruptedException {
    HttpRequest request = HttpRequest.newBuilder(URI.create(address())).build();
    String page = http.send(request, HttpResponse.BodyHandlers.ofString()).body();
    return page.lines()
        .filter(line -> line.startsWith(name + " ") || line.startsWith(name + "{"))
        .mapToDouble(line -> Double.parseDouble(line.substring(line.lastIndexOf(' ') + 1)))
        .sum();
  }

  private String address() throws IOException, StoryException {
    Optional<Matcher> found =
        Optional.of(METRICS.matcher(Files.readString(log, StandardCharsets.UTF_8)))
            .filter(Matcher::find);
    return found
        .orElseThrow(() -> new StoryException("the agent's log names no metrics: " + log))
        .group();
  }

  @Override
  public void close() {
    // Below strace the agent itself is asked first; strace ends with it.
    ProcessHandle.of(child.pid())
        .ifPresent(top -> top.descendants().forEach(ProcessHandle::destroy));
    child.close();
  }
}

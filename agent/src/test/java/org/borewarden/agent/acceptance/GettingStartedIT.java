package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** docs/getting-started.md, command by command, as a person would type them. */
class GettingStartedIT {
  private static final Path DIST =
      Path.of(Optional.ofNullable(System.getProperty("borewarden.dist")).orElseThrow());
  private static final Path PAGE = Path.of("../docs/getting-started.md");
  private static final String PROMPT = "    $ ";

  @TempDir private Path folder;
  private final List<Process> running = new ArrayList<>();

  @AfterEach
  void end() {
    for (Process process : running) {
      process.descendants().forEach(ProcessHandle::destroyForcibly);
      process.destroyForcibly().onExit().join();
    }
  }

  @Test
  void everyCommandOfThePageDoesWhatThePageSays() throws Exception {
    Peers.require("mosquitto_sub", "bash");
    try (TestBroker broker = TestBroker.start();
        PtyPair gauge = PtyPair.plugged(Files.createDirectory(folder.resolve("bore-1")));
        TestSubscriber plant = TestSubscriber.on(broker.port(), "northworks/#")) {
      List<String> commands = commands(broker.port(), gauge.agentEnd());
      assertThat(commands).hasSize(8);

      Started ports = start(commands.get(0));
      assertThat(ports.exit()).as(ports.said()).isLessThanOrEqualTo(1);
      Started listen = start(commands.get(1));
      while (listen.process().isAlive()) {
        Plant.send(gauge, "62.010", "62.012");
        listen.process().waitFor(200, TimeUnit.MILLISECONDS);
      }
      assertThat(listen.exit()).as(listen.said()).isZero();
      assertThat(listen.said()).contains("62.010");
      Started init = start(commands.get(2));
      assertThat(init.exit()).as(init.said()).isZero();
      Started check = start(commands.get(3));
      assertThat(check.exit()).as(check.said()).isZero();
      assertThat(check.said()).contains("agent northworks-cell-4");

      assertThat(commands.get(4)).endsWith(" &");
      Started run = start(commands.get(4).replace(" &", ""));
      Waiting.until("a start", () -> run.said().contains("started as northworks-cell-4"));
      Started seen = start(commands.get(5));
      while (seen.process().isAlive()) {
        Plant.send(gauge, "62.028");
        seen.process().waitFor(200, TimeUnit.MILLISECONDS);
      }
      assertThat(seen.said()).contains("\"verdict\":\"within\"", "\"feature\":\"bearing-seat\"");

      assertThat(start(commands.get(6)).exit()).isZero();
      assertThat(start(commands.get(7)).exit()).isZero();
      Waiting.until("the changed rule", () -> sent(gauge, plant));
    }
  }

  private static boolean sent(PtyPair gauge, TestSubscriber plant) {
    try {
      Plant.send(gauge, "62.028");
    } catch (IOException gone) {
      throw new java.io.UncheckedIOException(gone);
    }
    return plant.heard().stream().anyMatch(m -> m.text().contains("\"verdict\":\"oversize\""));
  }

  private static List<String> commands(int broker, Path device) throws IOException {
    return Files.readAllLines(PAGE, StandardCharsets.UTF_8).stream()
        .filter(line -> line.startsWith(PROMPT))
        .map(line -> line.substring(PROMPT.length()))
        .map(line -> line.replace("1883", Integer.toString(broker)))
        .map(line -> line.replace("/dev/serial/by-id/usb-bore-1", device.toString()))
        .toList();
  }

  private record Started(Process process, Path output) {
    int exit() throws InterruptedException {
      assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
      return process.exitValue();
    }

    String said() {
      try {
        return Files.readString(output, StandardCharsets.UTF_8);
      } catch (IOException gone) {
        throw new java.io.UncheckedIOException(gone);
      }
    }
  }

  private Started start(String command) throws IOException {
    Path output = Files.createTempFile(folder, "said", ".txt");
    ProcessBuilder builder =
        new ProcessBuilder("bash", "-c", command)
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(output.toFile());
    builder.environment().put("JAVA_HOME", System.getProperty("java.home"));
    builder
        .environment()
        .merge("PATH", DIST.resolve("bin").toAbsolutePath() + ":", (path, bin) -> bin + path);
    Process process = builder.start();
    running.add(process);
    return new Started(process, output);
  }
}

package org.borewarden.agent.service;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The notification protocol, heard by socat at a datagram socket as a service manager has it. */
class ServiceManagerTest {
  private static final long PID = 4711;
  private static final Duration SOON = Duration.ofSeconds(30);

  @TempDir private Path folder;
  private final java.util.Deque<Process> listening = new java.util.ArrayDeque<>();

  @AfterEach
  void end() {
    listening.forEach(Process::destroyForcibly);
  }

  @ParameterizedTest(name = "{0}")
  @ValueSource(strings = {"UNIX-RECV", "ABSTRACT-RECV"})
  void itHearsThatTheAgentIsReadyTurnsAndStops(String kind) throws Exception {
    Path heard = listen(kind);
    AtomicBoolean turning = new AtomicBoolean(true);
    try (ServiceManager manager =
        ServiceManager.of(
                Map.of(
                    "NOTIFY_SOCKET",
                    (kind.startsWith("ABSTRACT") ? "@" : "") + folder.resolve("notify"),
                    "WATCHDOG_USEC",
                    "60000",
                    "WATCHDOG_PID",
                    Long.toString(PID)),
                PID)
            .orElseThrow()) {
      manager.ready(turning::get);
      await().atMost(SOON).until(() -> count(heard, "WATCHDOG=1") >= 3);
      assertThat(Files.readString(heard)).startsWith("READY=1\nSTATUS=judging\nWATCHDOG=1\n");

      // A loop that stands still feeds nothing.
      turning.set(false);
      manager.stopping();
      await().atMost(SOON).until(() -> count(heard, "STOPPING=1") == 1);
      String after = Files.readString(heard).substring(Files.readString(heard).indexOf("STOPPING"));
      assertThat(after.lines().filter("WATCHDOG=1"::equals).count())
          .as("one may have been on its way")
          .isLessThanOrEqualTo(1);
    }
  }

  @Test
  void whereNoneListensTheAgentGoesOn() {
    Map<String, String> nobody = Map.of("NOTIFY_SOCKET", folder.resolve("nobody").toString());
    try (ServiceManager manager = ServiceManager.of(nobody, PID).orElseThrow()) {
      manager.ready(() -> true);
      manager.stopping();
    }
    assertThat(ServiceManager.of(Map.of(), PID)).isEmpty();
    assertThat(ServiceManager.of(Map.of("NOTIFY_SOCKET", "vsock:2:1"), PID)).isEmpty();
  }

  private Path listen(String kind) throws Exception {
    Path heard = Files.createFile(folder.resolve("heard"));
    Path socket = folder.resolve("notify");
    listening.push(
        new ProcessBuilder(Peers.require("socat").toString(), "-u", kind + ":" + socket, "STDOUT")
            .redirectOutput(heard.toFile())
            .start());
    boolean path = kind.startsWith("UNIX");
    await()
        .atMost(SOON)
        .until(
            () ->
                path
                    ? Files.exists(socket)
                    : Files.readString(Path.of("/proc/net/unix")).contains("@" + socket));
    return heard;
  }

  private static long count(Path heard, String line) throws Exception {
    return Files.readString(heard, StandardCharsets.UTF_8).lines().filter(line::equals).count();
  }
}

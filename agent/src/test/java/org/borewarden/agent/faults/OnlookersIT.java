package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.journal.Machine;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Whoever only looks on holds up nobody: a log that nobody takes, a log's disk that is full, and
 * readers of the metrics that ask and never listen, or never finish asking.
 */
class OnlookersIT {
  private static final int READINGS = 40;
  private static final int ROUNDS = Cases.count(1, 20);

  private static final int ROUNDS_TO_ONE_ALONE = 4;

  /** The goal is 10 ms; a busy machine is later without anybody looking on. */
  private static final double LATER_AT_MOST_MS = 50;

  private static final int BAD_READERS = 20;
  private static final Path SHIPPED_LOG = Path.of("src/main/resources/logback.xml");

  /** Gives what it starts a pipe for standard error that is full and that nobody reads. */
  private static final String UNREAD_LOG =
      "import fcntl,os,sys;"
          + "r,w=os.pipe();fcntl.fcntl(w,1031,4096);os.set_blocking(w,False)\n"
          + "try:\n"
          + "  while True: os.write(w,b'x'*64)\n"
          + "except BlockingIOError: pass\n"
          + "os.set_blocking(w,True);os.set_inheritable(r,True);os.dup2(w,2)\n"
          + "os.execvp(sys.argv[3],[sys.argv[3]]+sys.argv[1:3]+sys.argv[4:])";

  @TempDir Path scratch;

  @Test
  void aLogThatNobodyTakesAFullLogDiskAndReadersThatNeverListenHoldUpNobody() throws Exception {
    List<Long> watched = new ArrayList<>();
    List<Long> alone = new ArrayList<>();
    for (int round = 0; round < ROUNDS; round++) {
      watched.addAll(watched(round));
      say(round + 1 + " rounds with onlookers", watched);
      if (Cases.LONG && round % ROUNDS_TO_ONE_ALONE == 0) {
        alone.addAll(alone(round));
        say("without", alone);
      }
    }
    if (Cases.LONG) {
      assertThat(median(watched) - median(alone)).isLessThan(LATER_AT_MOST_MS);
    }
  }

  private List<Long> watched(int round) throws Exception {
    Path logs = Files.createDirectory(scratch.resolve("logs-" + round));
    Machine.need(
        "mounting a tmpfs", "mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", logs.toString());
    List<Socket> bad = new ArrayList<>();
    try {
      Path ballast = Files.write(logs.resolve("ballast"), new byte[16 << 10]);
      Path log = logs.resolve("borewarden.log");
      String name = "onlookers-" + round;
      try (Plant plant = plant(name, unread(SHIPPED_LOG, "-Dborewarden.log.dir=" + logs))) {
        plant.start();
        for (int reader = 0; reader < BAD_READERS; reader++) {
          bad.add(badReader(plant.metrics(), reader % 2 == 0));
        }
        List<Long> took = measureAll(plant);
        assertThat(log).isEmptyFile();
        assertThat(metrics(plant.metrics())).contains("borewarden_");
        Files.delete(ballast);
        Waits.until(
            "the log goes on",
            () -> {
              plant.gauge().dropClients();
              plant.awaitGauge();
              return Files.size(log) > 0;
            });
        plant.agent().stop();
        return took;
      }
    } finally {
      for (Socket socket : bad) {
        socket.close();
      }
      Machine.run("umount", logs.toString());
    }
  }

  /** The same readings on the same machine while nobody looks on. */
  private List<Long> alone(int round) throws Exception {
    try (Plant plant = plant("alone-" + round, List.of())) {
      plant.start();
      List<Long> took = measureAll(plant);
      plant.agent().stop();
      return took;
    }
  }

  /** If this agent came up, the test above could not fail. */
  @Test
  void anAgentThatWaitsForItsLogIsFoundOut() throws Exception {
    for (int round = 0; round < ROUNDS; round++) {
      hangs("waits-" + round);
    }
    System.err.printf("onlookers: %d agents that write their log themselves hang%n", ROUNDS);
  }

  private void hangs(String name) throws Exception {
    Path waits = scratch.resolve("waits.xml");
    String shipped = Files.readString(SHIPPED_LOG, StandardCharsets.UTF_8);
    String direct =
        shipped.replace("<appender-ref ref=\"UNBLOCKED\"/>", "<appender-ref ref=\"CONSOLE\"/>");
    assertThat(direct).isNotEqualTo(shipped);
    Files.writeString(waits, direct, StandardCharsets.UTF_8);
    try (Plant plant = plant(name, unread(waits, "-Dborewarden.log.level=INFO"))) {
      plant.agent().start();
      Waits.until(
          "a thread that waits for the log",
          () ->
              ProcessLook.threads(plant.agent().pid()).contains("OutputStreamAppender.writeBytes"));
      assertThat(plant.cell().state().permit()).isFalse();
    }
  }

  /** One who asks and listens. */
  private static String metrics(URI metrics) throws IOException, InterruptedException {
    return HttpClient.newHttpClient()
        .send(
            HttpRequest.newBuilder(metrics).build(),
            HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8))
        .body();
  }

  /** Asks a hundred times and does not listen, or asks the half of a question. */
  private static Socket badReader(URI metrics, boolean asks) throws IOException {
    Socket socket = new Socket();
    socket.setReceiveBufferSize(1024);
    socket.connect(
        new java.net.InetSocketAddress(InetAddress.getLoopbackAddress(), metrics.getPort()));
    String question = "GET /metrics HTTP/1.1\r\nHost: 127.0.0.1\r\n";
    String text = asks ? (question + "\r\n").repeat(100) : question;
    socket.getOutputStream().write(text.getBytes(StandardCharsets.US_ASCII));
    return socket;
  }

  private Plant plant(String name, List<String> watcher) throws Exception {
    return new Plant(
        scratch.resolve(name), name, Plant.dayWithoutHold(7, READINGS), READINGS, watcher);
  }

  private static List<String> unread(Path log, String option) {
    return List.of(
        "/usr/bin/python3",
        "-c",
        UNREAD_LOG,
        "-Dlogback.configurationFile=" + log.toAbsolutePath(),
        option);
  }

  /** Each reading is judged and heard while the permit stands; how long each took. */
  private static List<Long> measureAll(Plant plant) throws Exception {
    List<Long> took = new ArrayList<>();
    for (int reading = 1; reading <= READINGS; reading++) {
      long sent = System.nanoTime();
      plant.send(1);
      int count = reading;
      Waits.until("verdict " + count, () -> verdicts(plant) == count);
      took.add(System.nanoTime() - sent);
      if (!plant.cell().state().permit()) {
        // A busy machine may be late with a beat in a long run; what stays away fails.
        assertThat(Cases.LONG).as("permit at reading %s", reading).isTrue();
        System.err.println("onlookers: the permit was away at reading " + reading);
        plant.awaitPermit();
      }
    }
    plant.requireTheStory();
    return took;
  }

  private static void say(String what, List<Long> took) {
    System.err.printf(
        "onlookers: %s: %d verdicts heard, median %.1f ms, the latest %.1f ms%n",
        what,
        took.size(),
        median(took),
        took.stream().mapToLong(Long::longValue).max().orElse(0) / 1e6);
  }

  private static double median(List<Long> took) {
    return took.stream().sorted().toList().get(took.size() / 2) / 1e6;
  }

  private static long verdicts(Plant plant) {
    return plant.subscriber().heard().stream()
        .filter(heard -> heard.topic().contains("/verdict/"))
        .count();
  }
}

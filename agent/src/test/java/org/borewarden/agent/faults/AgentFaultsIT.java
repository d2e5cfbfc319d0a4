package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The whole agent on a disk that is full or read-only, and under a clock that jumps. */
class AgentFaultsIT {
  private static final int CLOCK_JUMPS = Cases.count(5, 1_000);
  private static final List<String> JUMPS =
      List.of("-3600", "+86400", "+315360000", "-315360000", "+0");

  /** Small ones, to the end of 32-bit seconds (2038-01-19), over it, and to before 1970. */
  private static List<String> moreJumps() {
    long now = Instant.now().getEpochSecond();
    return List.of(
        "+3600",
        "-10",
        "+10",
        "+" + (Integer.MAX_VALUE - now),
        "+" + (Integer.MAX_VALUE - now + 86_400),
        "-" + (now + 86_400),
        "+0");
  }

  private static final Path FAKE_TIME =
      Path.of("/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1");

  @TempDir Path scratch;

  private TestBroker broker;
  private TestSubscriber subscriber;
  private GaugePort gauge;
  private Path disk;

  @BeforeEach
  void build() throws Exception {
    broker = TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
    subscriber = TestSubscriber.on(broker.port(), "f/#");
    gauge = GaugePort.open(0);
    disk = Files.createDirectories(scratch.resolve("disk"));
    AgentRun.file(scratch, "rules.yaml", Shop.RULES_YAML);
    AgentRun.file(
        scratch,
        "agent.yaml",
        """
        agent: northworks-cell-4
        root: f
        rules: rules.yaml
        data: disk/data
        broker: {url: "mqtt://127.0.0.1:%d", version: 5}
        gauges:
          - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
        cells:
          - {id: cell-4, mqtt: only-path}
        http: {port: 0}
        commands: {trust: broker}
        """
            .formatted(broker.port(), gauge.port()));
  }

  @AfterEach
  void tearDown() throws Exception {
    gauge.close();
    subscriber.close();
    broker.close();
  }

  @Test
  void aFullDiskTakesThePermitIsSaidAndIsLeftBehindWithoutHelp() throws Exception {
    need("mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", disk.toString());
    try (AgentRun agent = new AgentRun(scratch)) {
      agent.start();
      awaitConnected();
      Waits.until("a permit", () -> permit().equals(Optional.of(true)));
      Path ballast = disk.resolve("ballast");
      fill(ballast);
      // The log has room that it had before; a full disk shows when that is used up.
      int sent = 0;
      while (permit().equals(Optional.of(true)) && sent < 20_000) {
        gauge.send("62.010 mm");
        sent++;
        Waits.pass(300);
        fill(ballast);
      }
      Waits.until("no permit", () -> permit().equals(Optional.of(false)));
      Waits.until("words", () -> agent.hasSaid("the journal cannot be written"));
      assertThat(agent.alive()).isTrue();
      Files.delete(ballast);
      long freed = System.nanoTime();
      Waits.until("the permit again", () -> permit().equals(Optional.of(true)));
      System.err.printf(
          "agent faults: disk full after %d readings; permit again %d ms after there was space%n",
          sent, (System.nanoTime() - freed) / 1_000_000);
      int all = sent;
      Waits.untilJournal("every reading", () -> readings() == all);
      agent.stop();
      assertThat(Verify.dataFolder(disk.resolve("data")).whole()).isTrue();
      assertThat(Journals.count(Journals.all(disk.resolve("data")), "bore-judged")).isEqualTo(sent);
    } finally {
      run("umount", disk.toString());
    }
  }

  @Test
  void onAReadOnlyDiskItSaysSoAndOnceMadeWritableItGoesOn() throws Exception {
    need("mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", disk.toString());
    try (AgentRun first = new AgentRun(scratch)) {
      first.start();
      awaitConnected();
      gauge.send("62.010 mm");
      Waits.untilJournal("a reading", () -> readings() == 1);
      first.stop();
      need("mount", "-o", "remount,ro", disk.toString());
      gauge.dropClients();
      long beats = beats();
      try (AgentRun second = new AgentRun(scratch)) {
        second.start();
        Waits.until("its end or its words", () -> !second.alive() || second.hasSaid("cannot"));
        assertThat(second.said())
            .containsIgnoringCase("read-only file system")
            .contains(disk.toString());
        assertThat(beats()).as("beats of a run that could not start").isEqualTo(beats);
      }
      need("mount", "-o", "remount,rw", disk.toString());
      try (AgentRun third = new AgentRun(scratch)) {
        third.start();
        awaitConnected();
        gauge.send("62.011 mm");
        Waits.untilJournal("another reading", () -> readings() == 2);
        third.stop();
      }
      assertThat(Verify.dataFolder(disk.resolve("data")).whole()).isTrue();
    } finally {
      run("umount", disk.toString());
    }
  }

  @Test
  void aWallClockThatJumpsChangesStampsAndIsSaidAndChangesNothingElse() throws Exception {
    Peers.require("faketime");
    Path clock = scratch.resolve("clock");
    Files.writeString(clock, "+0", StandardCharsets.UTF_8);
    List<String> faked =
        List.of(
            "env",
            "LD_PRELOAD=" + FAKE_TIME,
            "FAKETIME_TIMESTAMP_FILE=" + clock,
            "FAKETIME_CACHE_DURATION=1",
            // Otherwise timed waits return at once.
            "FAKETIME_FORCE_MONOTONIC_FIX=0",
            "FAKETIME_DONT_FAKE_MONOTONIC=1");
    long day = 99;
    int sent = 0;
    try (AgentRun agent = new AgentRun(scratch, faked)) {
      agent.start();
      awaitConnected();
      List<String> all = new ArrayList<>(JUMPS);
      if (Cases.LONG) {
        all.addAll(moreJumps());
      }
      for (int jumps = 0; jumps < CLOCK_JUMPS; jumps++) {
        String jump = all.get(jumps % all.size());
        for (int i = 0; i < (Cases.LONG ? 3 : 10); i++) {
          gauge.send(Shop.value(day, sent++) + " mm");
        }
        int before = sent;
        Waits.untilJournal("readings before the jump", () -> readings() == before);
        int steps = count("clock-stepped");
        Files.writeString(clock, jump, StandardCharsets.UTF_8);
        Waits.untilJournal("the step told", () -> count("clock-stepped") > steps);
      }
      agent.kill();
    }
    List<Entry> entries = Journals.all(disk.resolve("data"));
    assertThat(Verify.dataFolder(disk.resolve("data")).whole()).isTrue();
    Story.requireSame(Shop.golden(day, sent), Story.of(entries));
    long backward = 0;
    for (int at = 1; at < entries.size(); at++) {
      assertThat(entries.get(at).seq()).isEqualTo(at + 1L);
      backward += entries.get(at).at().isBefore(entries.get(at - 1).at()) ? 1 : 0;
    }
    System.err.println(
        "agent faults: clock: "
            + CLOCK_JUMPS
            + " jumps, "
            + backward
            + " stamps went back, no judgement did");
    assertThat(backward).as("the clock was really moved").isPositive();
  }

  private void awaitConnected() throws Exception {
    Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
    gauge.sendBytes("\r\n".getBytes(StandardCharsets.US_ASCII));
  }

  private int readings() throws Exception {
    return count("reading-taken");
  }

  private int count(String kind) throws Exception {
    return Journals.count(Journals.all(disk.resolve("data")), kind);
  }

  private long beats() {
    return subscriber.heard().stream()
        .filter(heard -> heard.topic().startsWith("f/heartbeat/"))
        .count();
  }

  /** The permit of the newest beat. */
  private Optional<Boolean> permit() {
    Optional<Boolean> permit = Optional.empty();
    for (TestSubscriber.Heard heard : subscriber.heard()) {
      if (heard.topic().startsWith("f/heartbeat/")) {
        JsonNode beat = Story.tree(heard.text());
        permit = Optional.of(beat.path("permit").asBoolean());
      }
    }
    return permit;
  }

  private static void fill(Path ballast) throws IOException {
    ByteBuffer page = ByteBuffer.allocate(64 << 10);
    try (FileChannel channel =
        FileChannel.open(ballast, StandardOpenOption.CREATE, StandardOpenOption.APPEND)) {
      while (true) {
        channel.write(page.clear());
      }
    } catch (IOException e) {
      assertThat(e).hasMessageContaining("No space left");
    }
  }

  private static void need(String... command) throws Exception {
    int exit = run(command);
    org.junit.jupiter.api.Assumptions.assumeTrue(
        exit == 0 || "required".equals(System.getProperty("borewarden.peers")),
        "skipped: " + String.join(" ", command) + " is not allowed here");
    assertThat(exit).isZero();
  }

  private static int run(String... command) throws Exception {
    return new ProcessBuilder(command)
        .redirectErrorStream(true)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start()
        .waitFor();
  }
}

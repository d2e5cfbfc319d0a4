package org.borewarden.agent.source.serial;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestReporter;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Against pseudo terminals, which have no modem lines and no baud rate but unplug like a cable. */
@Timeout(value = 3, unit = TimeUnit.MINUTES)
@SuppressWarnings("try") // Resources that only have to be closed.
class SerialSourceTest {
  private static final int ROUNDS = 20;

  /** Jars that are opened while the test runs; a leak in each round would be far more. */
  private static final int CLASS_PATH_FILES = 4;

  /** A second after the node is back, and the first wait. */
  private static final Duration REOPENED_WITHIN = Duration.ofSeconds(2);

  private final SourceBench bench = new SourceBench();
  @TempDir private Path folder;

  @Test
  void aPressOfTheButtonBecomesAReading() throws IOException {
    try (PtyPair cable = PtyPair.plugged(folder);
        SourceFeed feed = started(cable.agentEnd())) {
      settle(cable);
      cable.send("62.034 mm\r\n");
      until(() -> bench.readings().contains(62_034_000_000L));
    }
  }

  @Test
  void bytesThatWaitedInTheDriverMayBeginWithHalfAFrame() throws IOException {
    try (PtyPair cable = PtyPair.plugged(folder)) {
      cable.send("2.034 mm\r\n62.035 mm\r\n");
      try (SourceFeed feed = started(cable.agentEnd())) {
        until(() -> bench.readings().size() == 1);
      }
    }
    assertThat(bench.readings()).containsExactly(62_035_000_000L);
    assertThat(bench.rejections()).extracting(FrameRejected::excerpt).containsExactly("2.034 mm");
  }

  @Test
  void aCablePulledAndPluggedTwentyTimesMakesUpNothingAndLeaksNothing(TestReporter reporter)
      throws IOException {
    long leftOver = 0;
    Duration slowest = Duration.ZERO;
    try (PtyPair cable = PtyPair.plugged(folder);
        SourceFeed feed = started(cable.agentEnd())) {
      for (int round = 1; round <= ROUNDS; round++) {
        until(bench::isConnected);
        settle(cable);
        cable.send(String.format(Locale.ROOT, "62.%03d mm\r\n62.0", round));
        long expected = 62_000_000_000L + round * 1_000_000L;
        until(() -> bench.readings().contains(expected));
        cable.unplug();
        until(() -> !bench.isConnected());
        leftOver = round == 2 ? openFiles() : leftOver;
        assertThat(openFiles()).as("open files, round %d", round).isPositive();
        if (round == ROUNDS) {
          assertThat(openFiles()).isLessThanOrEqualTo(leftOver + CLASS_PATH_FILES);
        }
        cable.plug();
        long back = System.nanoTime();
        until(bench::isConnected);
        Duration took = Duration.ofNanos(System.nanoTime() - back);
        slowest = took.compareTo(slowest) > 0 ? took : slowest;
      }
    }
    reporter.publishEntry("slowest reopening", slowest.toString());
    assertThat(slowest).isLessThan(REOPENED_WITHIN);
    assertThat(bench.readings().stream().filter(pm -> pm != SETTLING).toList())
        .containsExactlyElementsOf(expectedReadings());
    assertThat(ownThreads()).isEmpty();
  }

  @Test
  void aDeviceThatIsNotThereIsSaidAndFoundWhenItComes() throws IOException {
    Path device = folder.resolve("agent-end");
    try (SourceFeed feed = started(device)) {
      until(() -> !bench.changes().isEmpty());
      assertThat(bench.changes())
          .extracting(SourceChanged::detail)
          .containsExactly("cannot open " + device + ": there is no such device");
      try (PtyPair cable = PtyPair.plugged(folder)) {
        until(bench::isConnected);
        settle(cable);
      }
    }
  }

  @Test
  void aPortThatAnotherProgramHasLockedIsSaidToBeBusyAndOpenedWhenItIsFree() throws IOException {
    Path flock = Peers.require("flock");
    try (PtyPair cable = PtyPair.plugged(folder)) {
      Process other =
          new ProcessBuilder(
                  flock.toString(), cable.agentEnd().toString(), "sh", "-c", "echo locked; cat")
              .start();
      assertThat(other.inputReader(StandardCharsets.US_ASCII).readLine()).isEqualTo("locked");
      try (SourceFeed feed = started(cable.agentEnd())) {
        until(() -> !bench.changes().isEmpty());
        other.getOutputStream().close();
        until(bench::isConnected);
      }
      assertThat(bench.changes().get(0).connected()).isFalse();
      assertThat(bench.changes().get(0).detail()).contains("another program uses it");
    }
  }

  @Test
  void aPortThatIsNamedTwiceIsOpenedOnceAndTheOtherSaysThatItCannot() throws IOException {
    SourceBench other = new SourceBench();
    try (PtyPair cable = PtyPair.plugged(folder);
        SourceFeed first = started(cable.agentEnd())) {
      until(bench::isConnected);
      try (SourceFeed second = other.feed(port(cable.agentEnd()))) {
        second.start();
        until(() -> !other.changes().isEmpty());
      }
      settle(cable);
    }
    assertThat(other.changes()).noneMatch(SourceChanged::connected);
    assertThat(other.changes().get(0).detail()).contains("the driver refused");
    assertThat(other.readings()).isEmpty();
  }

  private static final long SETTLING = 1_000_000_000L;

  /** Sends until a reading shows that the line has settled after opening. */
  private void settle(PtyPair cable) throws IOException {
    long before = bench.readings().size();
    long rejected = bench.count("rejected bore-a partial");
    cable.send("1.0 mm\r\n");
    until(
        () ->
            bench.readings().size() > before || bench.count("rejected bore-a partial") > rejected);
    if (bench.readings().size() == before) {
      cable.send("1.0 mm\r\n");
      until(() -> bench.readings().size() > before);
    }
  }

  private static List<Long> expectedReadings() {
    return Stream.iterate(62_001_000_000L, pm -> pm + 1_000_000L).limit(ROUNDS).toList();
  }

  private SourceFeed started(Path device) {
    SourceFeed feed = bench.feed(port(device));
    feed.start();
    return feed;
  }

  private static PortConfig port(Path device) {
    PortConfig.Serial serial =
        new PortConfig.Serial(
            device.toString(),
            9600,
            8,
            PortConfig.Parity.NONE,
            1,
            PortConfig.Flow.NONE,
            true,
            false);
    return SourceBench.port(serial, Optional.empty());
  }

  private static long openFiles() throws IOException {
    try (Stream<Path> files = Files.list(Path.of("/proc/self/fd"))) {
      return files.count();
    }
  }

  private static List<String> ownThreads() {
    return Thread.getAllStackTraces().keySet().stream()
        .map(Thread::getName)
        .filter(name -> name.startsWith("source-") || name.startsWith("close-"))
        .toList();
  }
}

package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** One serial line, under load, that is flooded, garbled, pulled and plugged. */
class PortFaultsIT {
  private static final int ROUNDS = Cases.count(6, 2_000);
  private static final String SETTLING = "62.999";

  @TempDir Path scratch;

  @Test
  void betweenFloodsOfGarbageEndlessFramesAndPulledPlugsExactlyTheGoodFramesAreRead()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    Random random = new Random(seed);
    SourceBench bench = new SourceBench();
    List<Long> sent = new ArrayList<>();
    long garbage = 0;
    try (PtyPair cable = PtyPair.plugged(scratch);
        SourceFeed feed = bench.feed(port(cable.agentEnd()))) {
      feed.start();
      for (int round = 0; round < ROUNDS; round++) {
        SourceBench.until(bench::isConnected);
        settle(cable, bench);
        for (int burst = 0; burst < 3; burst++) {
          String flood = burst == 1 ? endless(random) : flood(random);
          garbage += flood.length();
          cable.send(flood + "\r\n");
          for (int good = 0; good < 10; good++) {
            int thousandths = random.nextInt(900);
            cable.send(String.format(Locale.ROOT, "62.%03d mm\r\n", thousandths));
            sent.add(62_000_000_000L + thousandths * 1_000_000L);
          }
        }
        SourceBench.until(() -> good(bench).size() >= sent.size());
        // Half a frame, and then no line.
        cable.send("62.1");
        cable.unplug();
        SourceBench.until(() -> !bench.isConnected());
        cable.plug();
      }
    }
    System.err.printf(
        "port faults: seed %d, %d plugs pulled, %d bytes of garbage, %d good frames, %d rejected%n",
        seed, ROUNDS, garbage, sent.size(), bench.rejections().size());
    assertThat(good(bench)).as("seed %d", seed).isEqualTo(sent);
    // The gate lets ten a second through; each says how many it held back.
    assertThat(bench.rejections()).isNotEmpty();
    assertThat(bench.count("rejected bore-a too-long")).isGreaterThanOrEqualTo(ROUNDS);
  }

  private static List<Long> good(SourceBench bench) {
    return bench.readings().stream().filter(pm -> pm != 62_999_000_000L).toList();
  }

  /** Lets the line prove where a frame begins. */
  private static void settle(PtyPair cable, SourceBench bench) throws Exception {
    int before = settled(bench);
    while (settled(bench) == before) {
      cable.send("\r\n" + SETTLING + " mm\r\n");
      Waits.pass(20_000);
    }
  }

  private static int settled(SourceBench bench) {
    return (int) bench.readings().stream().filter(pm -> pm == 62_999_000_000L).count();
  }

  /** Lines of noise, which no pattern matches. */
  private static String flood(Random random) {
    StringBuilder noise = new StringBuilder();
    for (int i = 0; i < 20_000; i++) {
      noise.append(random.nextInt(30) == 0 ? "\r" : (char) ('!' + random.nextInt(10)));
    }
    return noise.toString();
  }

  private static String endless(Random random) {
    return "62.0" + String.valueOf((char) ('0' + random.nextInt(10))).repeat(30_000);
  }

  private static PortConfig port(Path device) {
    return SourceBench.port(
        new PortConfig.Serial(
            device.toString(),
            9600,
            8,
            PortConfig.Parity.NONE,
            1,
            PortConfig.Flow.NONE,
            true,
            true),
        Optional.of(Duration.ofSeconds(30)));
  }
}

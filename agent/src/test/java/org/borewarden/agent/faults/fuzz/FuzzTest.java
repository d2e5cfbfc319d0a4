package org.borewarden.agent.faults.fuzz;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The corpus and seeded mutations of it at every build; the coverage-guided fuzzer where it is on
 * the class path, which is so in the profile {@code faults}.
 */
class FuzzTest {
  private static final Duration MUTATING = Duration.ofMillis(Cases.LONG ? 120_000 : 700);
  private static final int FUZZ_SECONDS = Integer.getInteger("borewarden.seconds", 120);
  private static final int LEAST = 300;
  private static final int LEAST_FRAMES = Cases.count(LEAST, 100_000_000);

  /** Characters that mean something to one of the readers. */
  private static final String TELLING = " ,.:-{}[]\"'\\\r\n0129e*&!#";

  @TempDir Path scratch;

  @Test
  void framesOfAnyBytesAreCutTheSameAndReadForWhatTheySay() throws Exception {
    mutate("frames", LEAST_FRAMES, FrameFuzz::fuzzerTestOneInput);
  }

  @Test
  void aFileOfAnyBytesIsReadOrRefusedWithItsProblems() throws Exception {
    mutate("yaml", LEAST, YamlFuzz::fuzzerTestOneInput);
  }

  @Test
  void aCommandOfAnyBytesIsReadOrRefused() throws Exception {
    mutate("commands", LEAST, CommandFuzz::fuzzerTestOneInput);
  }

  /** If this does not fall, the mutations do not reach what they should. */
  @Test
  void aReaderThatTakesACommaForAPointIsFoundOut() {
    assertThatThrownBy(() -> mutate("frames", LEAST, FuzzTest::commaIsPoint))
        .hasMessageContaining("seed")
        .hasRootCauseInstanceOf(IllegalStateException.class);
  }

  private static void commaIsPoint(byte[] data) {
    String text = new String(data, StandardCharsets.ISO_8859_1);
    if (text.matches("(?s).*[0-9],[0-9].*")) {
      throw new IllegalStateException("taken for a point");
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"FrameFuzz", "YamlFuzz", "CommandFuzz"})
  void theGuidedFuzzerFindsNothing(String target) throws Exception {
    Assumptions.assumeTrue(
        FuzzTest.class.getResource("/com/code_intelligence/jazzer/Jazzer.class") != null,
        "skipped: the fuzzer is on the class path in the profile faults only");
    Path log = scratch.resolve("fuzz.log");
    Path corpus = Files.createDirectories(scratch.resolve("corpus"));
    int number = 0;
    for (byte[] seed :
        corpus(
            target.startsWith("Frame")
                ? "frames"
                : target.startsWith("Yaml") ? "yaml" : "commands")) {
      Files.write(corpus.resolve("seed-" + number++), seed);
    }
    Process fuzzer =
        new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx1g",
                "-cp",
                System.getProperty("java.class.path"),
                "com.code_intelligence.jazzer.Jazzer",
                "--target_class=org.borewarden.agent.faults.fuzz." + target,
                "--instrumentation_includes=org.borewarden.**",
                "--custom_hook_includes=none.**",
                "--reproducer_path=" + scratch,
                "-artifact_prefix=" + scratch + "/",
                "-max_total_time=" + FUZZ_SECONDS,
                "-max_len=4096",
                "-print_final_stats=1",
                corpus.toString())
            .directory(scratch.toFile())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start();
    assertThat(fuzzer.waitFor(FUZZ_SECONDS + 120L, TimeUnit.SECONDS)).isTrue();
    String said = Files.readString(log, StandardCharsets.UTF_8);
    said.lines()
        .filter(line -> line.contains("number_of_executed_units"))
        .forEach(line -> System.err.println("fuzz: " + target + " " + line));
    assertThat(fuzzer.exitValue()).as(said).isZero();
    assertThat(said).contains("number_of_executed_units");
  }

  private static void mutate(String corpus, int least, Consumer<byte[]> target) throws IOException {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    List<byte[]> seeds = corpus(corpus);
    Random random = new Random(seed);
    long end = System.nanoTime() + MUTATING.toNanos();
    int runs = 0;
    while (runs < least || System.nanoTime() < end) {
      byte[] data = runs < seeds.size() ? seeds.get(runs) : mutated(seeds, random);
      runs++;
      try {
        target.accept(data);
      } catch (RuntimeException found) {
        throw new AssertionError(
            "seed " + seed + ", run " + runs + ": " + new String(data, StandardCharsets.ISO_8859_1),
            found);
      }
    }
    System.err.println("fuzz: " + corpus + ": seed " + seed + ", " + runs + " mutations");
  }

  private static byte[] mutated(List<byte[]> seeds, Random random) {
    byte[] data = seeds.get(random.nextInt(seeds.size())).clone();
    for (int change = random.nextInt(6); change >= 0; change--) {
      int at = data.length == 0 ? 0 : random.nextInt(data.length);
      switch (random.nextInt(5)) {
        case 0 -> {
          if (data.length > 0) {
            data[at] = (byte) random.nextInt(256);
          }
        }
        case 1 -> data = java.util.Arrays.copyOf(data, at);
        case 2 -> data = spliced(data, at, seeds.get(random.nextInt(seeds.size())), random);
        case 3 -> {
          if (data.length > 0) {
            data[at] = (byte) TELLING.charAt(random.nextInt(TELLING.length()));
          }
        }
        default -> data = spliced(data, at, data, random);
      }
    }
    return data;
  }

  /** A piece of another put in. */
  private static byte[] spliced(byte[] into, int at, byte[] from, Random random) {
    int start = from.length == 0 ? 0 : random.nextInt(from.length);
    int length = Math.min(from.length - start, random.nextInt(40));
    byte[] out = new byte[into.length + length];
    System.arraycopy(into, 0, out, 0, at);
    System.arraycopy(from, start, out, at, length);
    System.arraycopy(into, at, out, at + length, into.length - at);
    return out;
  }

  /** Parted by lines of eight equal signs. */
  private static List<byte[]> corpus(String name) throws IOException {
    try (InputStream in = FuzzTest.class.getResourceAsStream(name + ".txt")) {
      String all =
          new String(java.util.Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
      List<byte[]> seeds = new ArrayList<>();
      for (String seed : all.split("========\n", -1)) {
        seeds.add(
            seed.replace("\n", name.equals("frames") ? "\r\n" : "\n")
                .getBytes(StandardCharsets.UTF_8));
      }
      return seeds;
    }
  }
}

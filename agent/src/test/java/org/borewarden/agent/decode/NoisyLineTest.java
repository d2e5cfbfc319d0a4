package org.borewarden.agent.decode;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.Framer;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestReporter;
import org.junit.jupiter.api.Timeout;

/** Framer and decoder against a second, plainer reading of the same noisy lines. */
@Timeout(value = 2, unit = TimeUnit.MINUTES)
class NoisyLineTest {
  private static final int FRAMES = 100_000;
  private static final int LONGEST = 24;
  private static final Pattern PLAIN = Pattern.compile("([0-9]{1,6}\\.[0-9]{1,4}) mm");
  private static final BigDecimal MM = new BigDecimal(1_000_000_000L);
  private static final BigDecimal FARTHEST = new BigDecimal(100_000_000_000_000L);

  @Test
  void ofAHundredThousandNoisyFramesExactlyTheGoodOnesAreRead(TestReporter reporter) {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    reporter.publishEntry("seed", Long.toString(seed));
    compare(seed, FRAMES);
  }

  @RepeatedTest(20)
  void theSameHoldsForFixedSeeds(RepetitionInfo run) {
    compare(run.getCurrentRepetition(), 2_000);
  }

  private static void compare(long seed, int frames) {
    Random random = new Random(seed);
    List<String> lines = new ArrayList<>();
    for (int i = 0; i < frames; i++) {
      lines.add(line(random));
    }
    List<Long> expected = new ArrayList<>();
    lines.forEach(line -> plainly(line).ifPresent(expected::add));

    List<Long> read = read(String.join("\r\n", lines) + "\r\n", random);

    assertThat(read).as("seed %d", seed).isEqualTo(expected);
    assertThat(expected.size()).as("good frames, seed %d", seed).isBetween(frames / 4, frames - 1);
  }

  private static List<Long> read(String stream, Random random) {
    PortConfig port = port();
    Framer framer = new Framer(port.frame());
    framer.opened();
    framer.quiet();
    FrameDecoder decoder =
        new FrameDecoder(
            port, List.of(new GaugeConfig("bore-a", "port-1", Optional.empty(), Optional.empty())));
    byte[] bytes = stream.getBytes(StandardCharsets.ISO_8859_1);
    List<Long> values = new ArrayList<>();
    for (int from = 0; from < bytes.length; ) {
      int to = Math.min(bytes.length, from + 1 + random.nextInt(200));
      byte[] chunk = Arrays.copyOfRange(bytes, from, to);
      for (Cut cut : framer.take(chunk, chunk.length)) {
        if (cut instanceof Cut.Whole whole
            && decoder.decode(whole.text()).get(0) instanceof Decoded.Accepted accepted) {
          values.add(accepted.reading().value().picometres());
        }
      }
      from = to;
    }
    return values;
  }

  /** The other reading: the platform's own regular expressions and decimals, a line at a time. */
  private static Optional<Long> plainly(String line) {
    Matcher match = PLAIN.matcher(line);
    if (line.length() > LONGEST || !match.matches()) {
      return Optional.empty();
    }
    BigDecimal picometres = new BigDecimal(match.group(1)).multiply(MM);
    return picometres.compareTo(FARTHEST) > 0
        ? Optional.empty()
        : Optional.of(picometres.longValueExact());
  }

  private static String line(Random random) {
    String good =
        String.format(Locale.ROOT, "%d.%03d mm", random.nextInt(200_000), random.nextInt(1_000));
    return switch (random.nextInt(8)) {
      case 0 -> mutated(good, random);
      case 1 -> noise(random, random.nextInt(3 * LONGEST));
      case 2 -> good.repeat(1 + random.nextInt(5));
      case 3 -> good.substring(random.nextInt(good.length()));
      default -> good;
    };
  }

  private static String mutated(String good, Random random) {
    StringBuilder text = new StringBuilder(good);
    text.setCharAt(random.nextInt(text.length()), noise(random, 1).charAt(0));
    return text.toString();
  }

  /** Any byte but those that end a line. */
  private static String noise(Random random, int length) {
    StringBuilder text = new StringBuilder();
    while (text.length() < length) {
      char c = (char) random.nextInt(256);
      if (c != '\r' && c != '\n') {
        text.append(c);
      }
    }
    return text.toString();
  }

  private static PortConfig port() {
    return new PortConfig(
        "port-1",
        new PortConfig.Tcp("127.0.0.1", 1, Duration.ofSeconds(1)),
        new PortConfig.Frame(Optional.empty(), LONGEST),
        "(?P<value>[0-9]{1,6}\\.[0-9]{1,4}) (?P<unit>mm)",
        false,
        Optional.empty());
  }
}

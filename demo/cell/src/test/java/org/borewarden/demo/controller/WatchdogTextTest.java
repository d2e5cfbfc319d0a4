package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** The shipped text and the Java port are the same program. */
class WatchdogTextTest {
  private static final Path PORT =
      Path.of("src", "main", "java", "org", "borewarden", "demo", "controller", "Watchdog.java");

  @Test
  void thePortIsTheShippedTextStatementForStatement() throws IOException {
    String source = Files.readString(PORT);
    String begin = "statement for statement\n    valid";
    int from = source.indexOf(begin) + begin.length() - "valid".length();
    int to = source.indexOf("// program: ends");
    assertThat(from).isGreaterThan(begin.length());
    assertThat(to).isGreaterThan(from);

    String port = source.substring(from, to).replaceAll("[\\s()]", "");
    String text = String.join("", StParser.parse(Program.shippedText()).java());

    assertThat(port).isEqualTo(text);
  }

  @Test
  void theTextUsesOnlyTheSubsetAndMixesNoTypes() {
    assertThat(StParser.parse(Program.shippedText()).statements()).hasSizeGreaterThan(10);
    String text = Program.shippedText();
    assertThatThrownBy(() -> StParser.parse(text.replace("Age := 0;", "Age := 16#0000;")))
        .hasMessageContaining("expected DINT, found WORD");
    assertThatThrownBy(() -> StParser.parse(text.replace("Echo := Beat;", "Beat := Echo;")))
        .hasMessageContaining("Beat may not be assigned");
    assertThatThrownBy(() -> StParser.parse(text.replace("IF Permit THEN", "IF Credit THEN")))
        .hasMessageContaining("expected BOOL, found DINT");
  }

  @Test
  void textAndPortAgreeOnRandomRegisters() {
    long seed = 20260117L;
    SplittableRandom random = new SplittableRandom(seed);
    for (int run = 0; run < 300; run++) {
      Program text = Program.shipped();
      Program port = Program.port();
      RandomRegisters registers = new RandomRegisters(random);
      for (int scan = 0; scan < 400; scan++) {
        int[] a = registers.next();
        int ms = random.nextInt(8) == 0 ? random.nextInt(-5, 1500) : 10;
        boolean start = random.nextInt(3) > 0;
        boolean safe = random.nextInt(4) == 0;
        boolean button = random.nextInt(5) == 0;
        text.scan(a, ms, start, safe, button);
        port.scan(a, ms, start, safe, button);
        assertThat(port.outputs())
            .as("seed %d run %d scan %d", seed, run, scan)
            .isEqualTo(text.outputs());
      }
    }
  }

  /** Mostly whole images whose beat walks, sometimes anything. */
  private static final class RandomRegisters {
    private final SplittableRandom random;
    private int boot;
    private int beat;

    RandomRegisters(SplittableRandom random) {
      this.random = random;
      this.boot = 1 + random.nextInt(65535);
      this.beat = 1 + random.nextInt(65535);
    }

    int[] next() {
      int dice = random.nextInt(40);
      if (dice == 0) {
        boot = random.nextInt(65536);
      } else if (dice == 1) {
        beat = 1 + random.nextInt(65535);
      } else if (dice < 20) {
        for (int i = random.nextInt(11); i > 0; i--) {
          beat = Image.after(beat);
        }
      }
      int[] a = new Image(boot, beat, random.nextInt(65536), random.nextInt(65536)).registers();
      if (dice == 39) {
        a[random.nextInt(20)] = random.nextInt(65536);
      }
      return a;
    }
  }
}

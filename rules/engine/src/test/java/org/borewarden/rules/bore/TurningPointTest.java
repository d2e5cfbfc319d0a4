package org.borewarden.rules.bore;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.borewarden.rules.bore.TurningPoint.Mode;
import org.junit.jupiter.api.Test;

class TurningPointTest {
  private static final long SEED = 20_261_126;

  /**
   * A gauge that is rocked slowly: 2 kHz, 0.5 um of noise, 1 s through the dip. The reading of a
   * bore of 62 mm at the angle t is 62 mm (1/cos t - 1) above its least (geometry); here the angle
   * runs from -3 to 3 degrees.
   */
  private static double[] dip(Random random, double noise) {
    double[] samples = new double[2_000];
    for (int i = 0; i < samples.length; i++) {
      double t = Math.toRadians(-3 + 6.0 * i / (samples.length - 1));
      samples[i] = 62_000 * (1 / Math.cos(t) - 1) + noise * random.nextGaussian();
    }
    return samples;
  }

  @Test
  void theRawSmallestIsBiasedAndTheVertexIsNot() {
    Random random = new Random(SEED);
    int times = 400;
    double raw = 0;
    double fitted = 0;
    double squares = 0;
    double told = 0;
    for (int i = 0; i < times; i++) {
      double[] samples = dip(random, 0.5);
      raw += Arrays.stream(samples).min().orElseThrow();
      TurningPoint.Vertex vertex = TurningPoint.of(samples, 150, Mode.SMALLEST).orElseThrow();
      fitted += vertex.value();
      squares += vertex.value() * vertex.value();
      told += vertex.uncertainty();
      assertThat(vertex.residual()).as("seed %s, case %s", SEED, i).isBetween(0.4, 0.6);
      assertThat(vertex.at()).as("seed %s, case %s", SEED, i).isBetween(960.0, 1040.0);
    }
    // The published figure of the rules: about -1.2 um for the raw smallest.
    assertThat(raw / times).as("seed %s", SEED).isCloseTo(-1.2, within(0.15));
    assertThat(fitted / times).as("seed %s", SEED).isCloseTo(0, within(0.01));
    double spread = Math.sqrt(squares / times - Math.pow(fitted / times, 2));
    assertThat(told / times).as("seed %s", SEED).isCloseTo(spread, within(0.1 * spread));
  }

  @Test
  void swungAcrossTheAxisTheLargestCounts() {
    double[] samples = dip(new Random(SEED), 0.5);
    double[] turned = Arrays.stream(samples).map(s -> -s).toArray();
    TurningPoint.Vertex low = TurningPoint.of(samples, 150, Mode.SMALLEST).orElseThrow();
    TurningPoint.Vertex high = TurningPoint.of(turned, 150, Mode.LARGEST).orElseThrow();
    assertThat(high.value()).isCloseTo(-low.value(), within(1e-12));
    assertThat(high.at()).isEqualTo(low.at());
  }

  @Test
  void anExactParabolaIsFoundExactlyBetweenTheSamples() {
    double[] samples = new double[41];
    for (int i = 0; i < samples.length; i++) {
      samples[i] = 7 + 0.25 * Math.pow(i - 20.3, 2);
    }
    TurningPoint.Vertex vertex = TurningPoint.of(samples, 10, Mode.SMALLEST).orElseThrow();
    assertThat(vertex.value()).isCloseTo(7, within(1e-10));
    assertThat(vertex.at()).isCloseTo(20.3, within(1e-10));
    assertThat(vertex.residual()).isCloseTo(0, within(1e-6));
  }

  @Test
  void whatDoesNotTurnInsideHasNoTurningPoint() {
    double[] slope = new double[100];
    Arrays.setAll(slope, i -> i);
    assertThat(TurningPoint.of(slope, 10, Mode.SMALLEST)).isEmpty();
    assertThat(TurningPoint.of(slope, 10, Mode.LARGEST)).isEmpty();
    assertThat(TurningPoint.of(new double[5], 10, Mode.SMALLEST)).isEmpty();
    // A single sample that sticks out of a hill is no dip.
    double[] hill = new double[41];
    Arrays.setAll(hill, i -> -Math.min(100, Math.pow(i - 20.0, 2)));
    hill[20] = -120;
    assertThat(TurningPoint.of(hill, 10, Mode.SMALLEST)).isEmpty();
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TurningPoint.of(slope, 2, Mode.SMALLEST))
        .withMessageContaining("at least 3, found 2");
  }
}

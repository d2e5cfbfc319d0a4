package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.apache.commons.statistics.descriptive.Quantile;
import org.apache.commons.statistics.distribution.ExponentialDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;

/** Quantiles of counted values, and capability by them. */
class QuantileCapabilityTest {
  private static final long SEED = Long.getLong("borewarden.seed", 20_261_127);

  private static ValueCounts counted(long... values) {
    ValueCounts counts = ValueCounts.NONE;
    for (long value : values) {
      counts = counts.plus(value);
    }
    return counts;
  }

  /** NIST/SEMATECH e-Handbook 7.2.6.2 (from memory): the 90th percentile of 12 gauge readings. */
  @Test
  void thePercentileOfTheHandbookIsMet() {
    ValueCounts counts =
        counted(
            951772, 951567, 951937, 951959, 951442, 950610, 951591, 951195, 951065, 950925, 951990,
            951682);
    assertThat(counts.quantile(0.9).orElseThrow() / 1e4).isCloseTo(95.1981, within(5e-5));
  }

  /** Apache Commons Statistics, estimation HF6, over rounded values and over all probabilities. */
  @Test
  void quantilesAreThoseOfTheLibrary() {
    Random random = new Random(SEED);
    Quantile library = Quantile.withDefaults().with(Quantile.EstimationMethod.HF6);
    for (int run = 0; run < 100; run++) {
      long[] values = new long[1 + random.nextInt(60)];
      for (int i = 0; i < values.length; i++) {
        values[i] = Math.round(5 * random.nextGaussian()) - 3;
      }
      ValueCounts counts = counted(values);
      double[] doubles = Arrays.stream(values).asDoubleStream().toArray();
      for (double p : new double[] {0.00135, 0.1, 0.25, 0.5, 0.613, 0.9, 0.99865}) {
        double place = p * (values.length + 1);
        if (place >= 1 && place <= values.length) {
          assertThat(counts.quantile(p).orElseThrow())
              .as("p %s of %d values, seed %d", p, values.length, SEED)
              .isCloseTo(library.evaluate(doubles.clone(), p), within(1e-12));
        } else {
          assertThat(counts.quantile(p)).isEmpty();
        }
      }
    }
  }

  @Test
  void theUpperQuantileIsToldFrom740ValuesOn() {
    long[] values = new Random(SEED).longs(QuantileCapability.FEWEST, 0, 100).toArray();
    ValueCounts all = counted(values);
    assertThat(all.quantile(QuantileCapability.UPPER)).isPresent();
    assertThat(all.quantile(QuantileCapability.LOWER)).isPresent();
    ValueCounts fewer = counted(Arrays.copyOf(values, QuantileCapability.FEWEST - 1));
    assertThat(fewer.quantile(QuantileCapability.UPPER)).isEmpty();
    assertThat(fewer.quantile(QuantileCapability.LOWER)).isEmpty();
    assertThat(fewer.quantile(0.5)).isPresent();
  }

  /** However many differ, so many are kept; ranks come out at most one step of the grid higher. */
  @Test
  void withMoreValuesThanAreKeptTheRanksAreRoundedUpByLessThanTheGrid() {
    Random random = new Random(SEED);
    long[] values = random.longs(5000, -100_000, 8_000_000).toArray();
    ValueCounts counts = counted(values);
    long[] sorted = values.clone();
    Arrays.sort(sorted);
    assertThat(counts.values()).hasSizeLessThanOrEqualTo(ValueCounts.MOST).isSorted();
    assertThat(counts.total()).isEqualTo(5000);
    assertThat(counts.grid()).isBetween(31_641L, 65_536L);
    for (int rank = 1; rank <= 5000; rank++) {
      long off = counts.ranked(rank) - sorted[rank - 1];
      assertThat(off).as("rank %d, seed %d", rank, SEED).isBetween(0L, counts.grid() - 1);
    }
    ValueCounts halves =
        counted(Arrays.copyOf(values, 100)).and(counted(Arrays.copyOfRange(values, 100, 5000)));
    assertThat(halves).isEqualTo(counts);
    assertThatIllegalArgumentException().isThrownBy(() -> counts.ranked(5001));
    assertThatIllegalArgumentException().isThrownBy(() -> counts.ranked(0));
  }

  /** With the quantiles of a normal process the index is the usual one: the method's own claim. */
  @Test
  void ofANormalProcessTheIndicesAreCpAndCpk() {
    NormalDistribution process = NormalDistribution.of(12, 1.5);
    double low = process.inverseCumulativeProbability(QuantileCapability.LOWER);
    double high = process.inverseCumulativeProbability(QuantileCapability.UPPER);
    double cp = Capability.ofTolerance(30, 1.5, 50, 0.95).value();
    double cpu = Capability.ofOneLimit(30 - 12, 1.5, 50, 0.95).value();
    double cpl = Capability.ofOneLimit(12, 1.5, 50, 0.95).value();
    // 99.865 % is rounded: mean + 3 sigma is 99.86501 %
    assertThat(QuantileCapability.ofTolerance(30, low, high)).isCloseTo(cp, within(1e-5 * cp));
    assertThat(QuantileCapability.ofOneLimit(30, 12, high).orElseThrow())
        .isCloseTo(cpu, within(1e-5 * cpu));
    assertThat(QuantileCapability.ofOneLimit(0, 12, low).orElseThrow())
        .isCloseTo(cpl, within(1e-5 * cpl));
    assertThat(QuantileCapability.ofOneLimit(30, 12, 12)).isEmpty();
  }

  /** Exponential: X50 = ln 2, X99.865 = -ln .00135, in closed form; Cpk would say 3.0. */
  @Test
  void ofASkewedProcessTheIndexIsThatOfItsTail() {
    ExponentialDistribution process = ExponentialDistribution.of(1000);
    ValueCounts counts = ValueCounts.NONE;
    int n = 20_000;
    for (int i = 1; i <= n; i++) {
      counts = counts.plus(Math.round(process.inverseCumulativeProbability(i / (n + 1.0))));
    }
    double median = counts.quantile(0.5).orElseThrow();
    double upper = counts.quantile(QuantileCapability.UPPER).orElseThrow();
    assertThat(median).isCloseTo(1000 * Math.log(2), within((double) counts.grid()));
    assertThat(upper).isCloseTo(-1000 * Math.log(0.00135), within((double) counts.grid()));
    assertThat(QuantileCapability.ofOneLimit(10_000, median, upper).orElseThrow())
        .isCloseTo((10_000 - 693.1) / (6607.7 - 693.1), within(0.02));
  }

  /** 1 - .99865^n reaches 95 % at 2218 values (ln .05 / ln .99865 = 2217.6), 99 % at 3409. */
  @Test
  void aBoundOfTheQuantileExistsFromTheCountThatTheConfidenceAsksFor() {
    assertThat(QuantileCapability.rankAbove(2218, 0.95)).isEqualTo(2218);
    assertThat(QuantileCapability.rankAbove(2217, 0.95)).isGreaterThan(2217);
    assertThat(QuantileCapability.rankAbove(3409, 0.99)).isEqualTo(3409);
    assertThat(QuantileCapability.rankAbove(3408, 0.99)).isGreaterThan(3408);
  }

  /** The bound lies over the true quantile in at least 95 % of samples, of any shape. */
  @Test
  void theBoundOfTheQuantileKeepsItsConfidence() {
    Random random = new Random(SEED);
    int runs = 400;
    int n = 3000;
    int rank = (int) QuantileCapability.rankAbove(n, 0.95);
    int kept = 0;
    for (int run = 0; run < runs; run++) {
      double[] values = random.doubles(n).sorted().toArray();
      kept += values[rank - 1] >= QuantileCapability.UPPER ? 1 : 0;
    }
    // binomially: rank 3000 - r has 0.9500 or more; four standard errors of 400 runs
    assertThat(kept / (double) runs).as("seed %d", SEED).isBetween(0.95 - 0.044, 1.0);
    double[] below = random.doubles(n).sorted().toArray();
    assertThat(below[rank - 2]).isLessThan(below[rank - 1]);
  }

  /** NIST/SEMATECH e-Handbook 7.2.4.1 (from memory): 4 of 20, upper limit .401029. */
  @Test
  void theShareThatIsNotSeenIsBoundedAsInTheHandbook() {
    assertThat(QuantileCapability.shareAtMost(4, 20, 0.95)).isCloseTo(0.401029, within(1e-6));
    assertThat(QuantileCapability.shareAtMost(0, 100, 0.95))
        .isCloseTo(1 - Math.pow(0.05, 0.01), within(1e-12));
    assertThat(QuantileCapability.shareAtMost(7, 7, 0.95)).isEqualTo(1);
  }
}

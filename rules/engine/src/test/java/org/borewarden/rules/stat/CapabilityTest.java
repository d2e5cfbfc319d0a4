package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CapabilityTest {
  private static void is(Capability.Index index, double value, double low, double high, double by) {
    assertThat(index.value()).isCloseTo(value, within(by));
    assertThat(index.low()).isCloseTo(low, within(by));
    assertThat(index.high()).isCloseTo(high, within(by));
  }

  /** NIST/SEMATECH e-Handbook 6.1.6: USL 20, LSL 8, mean 16, s 2. */
  @Test
  void theIndicesAreThoseOfTheHandbook() {
    assertThat(Capability.ofTolerance(12, 2, 50, 0.95).value()).isEqualTo(1);
    assertThat(Capability.ofNearerLimit(4, 2, 50, 0.95).value()).isCloseTo(0.6667, within(5e-5));
    assertThat(Capability.ofOneLimit(8, 2, 50, 0.95).value()).isCloseTo(1.3333, within(5e-5));
  }

  /**
   * Test suite of the R package qcc (luca-scr/qcc, tests/testthat/test-capability.R): 12 values,
   * limits 9.9 and 10.1, sigma within from ranges over 2.059, to six digits.
   */
  @Test
  void theIndicesAndIntervalsAreThoseOfThePublishedSmallExample() {
    double[] values = {
      10.0, 10.02, 9.98, 10.01, 10.03, 9.99, 10.01, 10.0, 9.97, 10.04, 10.02, 9.99
    };
    Moments moments = Moments.NONE;
    for (double value : values) {
      moments = moments.plus(value - 10);
    }
    double mean = moments.mean();
    double within = 0.02428363283147107;
    double overall = moments.standardDeviation();
    is(Capability.ofTolerance(0.2, within, 12, 0.95), 1.372667, 0.80846, 1.937713, 1e-6);
    is(Capability.ofOneLimit(mean + 0.1, within, 12, 0.95), 1.4413, 0.911657, 1.970943, 1e-6);
    is(Capability.ofOneLimit(0.1 - mean, within, 12, 0.95), 1.304033, 0.820114, 1.787953, 1e-6);
    is(Capability.ofNearerLimit(0.1 - mean, within, 12, 0.95), 1.304033, 0.727408, 1.880659, 1e-6);
    assertThat(Capability.aboutTarget(0.2, mean, 0, within)).isCloseTo(1.344463, within(1e-6));
    is(Capability.ofTolerance(0.2, overall, 12, 0.95), 1.612598, 0.949773, 2.27641, 1e-6);
    is(Capability.ofOneLimit(mean + 0.1, overall, 12, 0.95), 1.693228, 1.078708, 2.307749, 1e-6);
    is(Capability.ofNearerLimit(0.1 - mean, overall, 12, 0.95), 1.531968, 0.864608, 2.199329, 1e-6);
    assertThat(Capability.aboutTarget(0.2, mean, 0, overall)).isCloseTo(1.567395, within(1e-6));
  }

  /**
   * Piston rings of Montgomery, as shipped with the R package qcc: 25 samples of 5, limits 73.95
   * and 74.05, sigma from the mean range; the printed digits of its vignette.
   */
  @Test
  void theIndicesOfThePistonRingsAreThePrintedOnes() {
    double mean = 74.001176;
    double sigma = 0.009785039;
    is(Capability.ofTolerance(0.1, sigma, 125, 0.95), 1.703, 1.491, 1.915, 6e-4);
    is(Capability.ofOneLimit(mean - 73.95, sigma, 125, 0.95), 1.743, 1.555, 1.932, 6e-4);
    is(Capability.ofOneLimit(74.05 - mean, sigma, 125, 0.95), 1.663, 1.483, 1.844, 6e-4);
    is(Capability.ofNearerLimit(74.05 - mean, sigma, 125, 0.95), 1.663, 1.448, 1.878, 6e-4);
    assertThat(Capability.aboutTarget(0.1, mean, 74.02, sigma)).isCloseTo(0.786, within(6e-4));
  }

  /** Montgomery, chapter 8 (from memory): limits 38 and 62, s 1.75, n 20. */
  @Test
  void theIntervalOfTheTextbookIsMet() {
    is(Capability.ofTolerance(24, 1.75, 20, 0.95), 2.29, 1.57, 3.01, 6e-3);
  }

  /** Normal tails, in parts per million: any table. */
  @ParameterizedTest
  @CsvSource({"1.0, 1349.898", "1.33, 33.03665", "1.67, 0.2721502", "2.0, 0.0009865876"})
  void theShareBeyondALimitIsThatOfTheNormalDistribution(double index, double ppm) {
    assertThat(Capability.beyond(3 * index, 1) * 1e6).isCloseTo(ppm, within(1e-6 * ppm));
  }

  /** Two running sums put together are the sum of all. */
  @Test
  void momentsAndSlopesOfPartsAddUp() {
    Random random = new Random(5);
    Moments[] parts = {Moments.NONE, Moments.NONE};
    Moments whole = Moments.NONE;
    SlopeSums apart = SlopeSums.NONE;
    SlopeSums[] sums = {SlopeSums.NONE, SlopeSums.NONE};
    for (int segment = 0; segment < 4; segment++) {
      Regression line = Regression.NONE;
      for (int i = 0; i < 20; i++) {
        double value = segment * 7 - 0.8 * i + random.nextGaussian();
        parts[segment % 2] = parts[segment % 2].plus(value);
        whole = whole.plus(value);
        line = line.plus(i, value);
      }
      sums[segment % 2] = sums[segment % 2].plus(line);
      apart = apart.plus(line);
    }
    Moments together = parts[0].and(parts[1]);
    assertThat(together.count()).isEqualTo(80);
    assertThat(together.mean()).isCloseTo(whole.mean(), within(1e-12));
    assertThat(together.squares()).isCloseTo(whole.squares(), within(1e-9));
    SlopeSums both = sums[0].and(sums[1]);
    assertThat(both.count()).isEqualTo(80);
    assertThat(both.sxy()).isCloseTo(apart.sxy(), within(1e-9));
    assertThat(both.residualSquares()).isCloseTo(apart.residualSquares(), within(1e-9));
    assertThat(Moments.NONE.and(whole)).isEqualTo(whole);
  }

  /**
   * Metrology.md 4.12: rounding rejects perfect data, so the test is not made where n (r/s)^2 is
   * over 2. 5 % of normal samples are over 0.752 (Stephens 1974, from memory).
   */
  @Test
  void normalityIsTestedOnlyWhereRoundingAllowsIt() {
    Random random = new Random(11);
    int rejected = 0;
    for (int run = 0; run < 2000; run++) {
      double[] values = random.doubles(30).map(Quantiles::normal).toArray();
      rejected += Capability.andersonDarling(values, 0).orElseThrow() > 0.752 ? 1 : 0;
    }
    assertThat(rejected / 2000.0).isCloseTo(0.05, within(0.015));
    double[] skewed = random.doubles(50).map(u -> -Math.log(u)).toArray();
    assertThat(Capability.andersonDarling(skewed, 0).orElseThrow()).isGreaterThan(0.752);
    assertThat(Capability.andersonDarling(new double[50], 0.5)).isEmpty();
    assertThat(Capability.fineEnough(50, 0.2)).isTrue();
    assertThat(Capability.fineEnough(51, 0.2)).isFalse();
  }

  /** Montgomery, Introduction to Statistical Quality Control, chapter 8 (from memory). */
  @Test
  void theIntervalOfCpIsThatOfTheBookAndThatOfCpkFollowsItsFormula() {
    assertThat(Capability.ofTolerance(24, 1.75, 20, 0.95).value()).isCloseTo(2.29, within(5e-3));
    // The book goes on with the rounded index.
    is(Capability.ofTolerance(2.29 * 6, 1, 20, 0.95), 2.29, 1.57, 3.01, 5e-3);
    // The book's 0.99 to 1.67 does not follow from the formula that it states.
    is(Capability.ofNearerLimit(1.33 * 3, 1, 20, 0.95), 1.33, 0.8825978, 1.7774022, 2e-5);
  }

  /** Parts per million beyond one limit of a centred normal process; computed elsewhere. */
  @ParameterizedTest
  @CsvSource({
    "0.25, 226627.35237686822",
    "0.5, 66807.20126885807",
    "1, 1349.8980316300933",
    "1.33, 33.03664762940236",
    "1.67, 0.27215017728558194",
    "2, 0.0009865876450376946"
  })
  void theShareBeyondALimitIsThatOfTheNormalTail(double cp, double millionths) {
    assertThat(Capability.beyond(3 * cp, 1) * 1e6).isCloseTo(millionths, within(1e-9 * millionths));
  }
}

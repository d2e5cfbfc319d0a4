package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.Resource;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.RangeConstants;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Charts of subgroups, spread, steps, robust drift and pre-control. */
class ChartKindsTest {
  private static final long SEED = 20_261_126;

  private static List<Integer> groups(
      ChartTest test, List<double[]> groups, double centre, double sigma) {
    List<Integer> found = new ArrayList<>();
    ChartMemory memory = ChartTests.start(test);
    for (int g = 0; g < groups.size(); g++) {
      for (double value : groups.get(g)) {
        memory = ChartTests.next(test, memory, (value - centre) / sigma, 0, true);
      }
      if (ChartTests.signal(test, memory) != 0) {
        found.add(g + 1);
      }
    }
    return found;
  }

  private static ChartTest of(SubgroupTest.Statistic statistic) {
    return new SubgroupTest.Subgroup(5, statistic, 3);
  }

  private static double[] numbers(String line) {
    return Arrays.stream(line.strip().split("\\s+", -1)).mapToDouble(Double::parseDouble).toArray();
  }

  /**
   * ISO 7870-2:2013, worked example pages 25 to 27, as cited by a test fixture: 25 subgroups of 5
   * by their means and ranges; limits 14.0834, 14.0629 and 0.0375; subgroup 12 is out.
   */
  @Test
  void meansAndRangesAreOutWhereTheStandardSaysSo() {
    List<String> lines = Resource.lines(getClass(), "iso7870_2_mean_range.txt");
    double[] means = numbers(lines.get(0));
    double[] ranges = numbers(lines.get(1));
    List<double[]> groups = new ArrayList<>();
    for (int i = 0; i < means.length; i++) {
      double half = ranges[i] / 2;
      groups.add(new double[] {means[i] - half, means[i], means[i], means[i], means[i] + half});
    }
    double sigma = Arrays.stream(ranges).average().orElseThrow() / RangeConstants.of(5).d2();
    double centre = Arrays.stream(means).average().orElseThrow();
    assertThat(centre + 3 * sigma / Math.sqrt(5)).isCloseTo(14.0834, within(5e-5));
    assertThat(centre - 3 * sigma / Math.sqrt(5)).isCloseTo(14.0629, within(5e-5));
    RangeConstants of = RangeConstants.of(5);
    assertThat((of.d2() + 3 * of.d3()) * sigma).isCloseTo(0.0375, within(5e-5));
    assertThat(groups(of(SubgroupTest.Statistic.MEAN), groups, centre, sigma)).containsExactly(12);
    assertThat(groups(of(SubgroupTest.Statistic.RANGE), groups, centre, sigma)).isEmpty();
  }

  /**
   * ISO 7870-2:2013, worked example pages 28 to 30, as cited by a test fixture: centre 29.87 and
   * sigma 0.062 given; limits 29.953, 29.787 and 0.1218.
   */
  @Test
  void meansAndDeviationsStayWithinTheGivenLimitsOfTheStandard() {
    List<String> lines = Resource.lines(getClass(), "iso7870_2_mean_deviation.txt");
    double[] means = numbers(lines.get(0));
    double[] deviations = numbers(lines.get(1));
    List<double[]> groups = new ArrayList<>();
    for (int i = 0; i < means.length; i++) {
      // two values off by a: s^2 = 2 a^2 / 4
      double off = deviations[i] * Math.sqrt(2);
      groups.add(new double[] {means[i] - off, means[i], means[i], means[i], means[i] + off});
    }
    double c4 = RangeConstants.of(5).c4();
    assertThat(29.87 + 3 * 0.062 / Math.sqrt(5)).isCloseTo(29.953, within(5e-4));
    assertThat(0.062 * (c4 + 3 * Math.sqrt(1 - c4 * c4))).isCloseTo(0.1218, within(1e-4));
    assertThat(groups(of(SubgroupTest.Statistic.MEAN), groups, 29.87, 0.062)).isEmpty();
    assertThat(groups(of(SubgroupTest.Statistic.DEVIATION), groups, 29.87, 0.062)).isEmpty();
  }

  /**
   * Piston rings of Montgomery, Introduction to Statistical Quality Control, as shipped with the R
   * package qcc: limits from the first 25 of 40 samples of 5; the means of 37 to 39 are out.
   */
  @Test
  void pistonRingsAreOutWhereTheBookSaysSo() {
    List<double[]> samples =
        Resource.lines(getClass(), "pistonrings.csv").stream()
            .skip(1)
            .map(line -> numbers(line.replace(',', ' ')))
            .map(row -> Arrays.copyOfRange(row, 2, row.length))
            .toList();
    double centre = 74.001176;
    double sigma = 0.02276 / RangeConstants.of(5).d2();
    assertThat(groups(of(SubgroupTest.Statistic.MEAN), samples, centre, sigma))
        .containsExactly(37, 38, 39);
    assertThat(groups(of(SubgroupTest.Statistic.RANGE), samples, centre, sigma)).isEmpty();
    // published: R 0.04812533 with d2 = 2.326, S 0.01930242 from the mean deviation .009240037
    RangeConstants of = RangeConstants.of(5);
    assertThat(0.02276 * (1 + 3 * of.d3() / of.d2())).isCloseTo(0.048125, within(2e-6));
    double c4 = of.c4();
    double sigmaOfS = 0.009240037 / c4;
    assertThat(sigmaOfS).isCloseTo(0.009829977, within(1e-9));
    assertThat(sigmaOfS * (c4 + 3 * Math.sqrt(1 - c4 * c4))).isCloseTo(0.01930242, within(1e-8));
  }

  /** NIST/SEMATECH e-Handbook 6.3.2.2: mean moving range 1.8778, its limit 6.1347, none is out. */
  @Test
  void theMovingRangesOfTheHandbookAreWithinTheirLimit() {
    double[] flows = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    double sigma = 1.8777777777777784 / RangeConstants.of(2).d2();
    ChartTest test = new SpreadTest.MovingRange(3.686);
    assertThat(3.686 * sigma).isCloseTo(6.1347, within(2e-3));
    assertThat(signals(test, sigma, flows)).isEmpty();
    flows[9] = 53.6 - 6.2;
    assertThat(signals(test, sigma, flows)).containsExactly(10);
  }

  private static List<Integer> signals(ChartTest test, double sigma, double... values) {
    return groups(test, Arrays.stream(values).mapToObj(v -> new double[] {v}).toList(), 0, sigma);
  }

  /** A wear of 0.8 sigma a bore does not grow the spread; a spread of twice sigma does. */
  @Test
  void aGrownSpreadIsFoundAndWearIsNone() {
    Random random = new Random(SEED);
    ChartTest test = new SpreadTest.Spreading(1.85, 12);
    double[] wears = new double[60];
    double[] spreads = new double[60];
    for (int i = 0; i < 60; i++) {
      wears[i] = -0.8 * i + random.nextGaussian();
      spreads[i] = 2 * random.nextGaussian();
    }
    assertThat(signals(test, 1, wears)).as("seed %d", SEED).isEmpty();
    assertThat(signals(test, 1, spreads)).as("seed %d", SEED).isNotEmpty();
  }

  @Test
  void aStepIsFoundOnceTheBoresAfterItAreThere() {
    ChartTest test = new LevelTest.Jump(3, 3.5);
    assertThat(signals(test, 1, 0, 1, 0, -1, 0, 1, 4, 4, 5, 4, 5)).containsExactly(8, 9);
    assertThat(signals(test, 1, 0, 1, 0, -1, 0, 1, 0, 1, 0, 1)).isEmpty();
  }

  /** The scenario's wear of -0.8 is a drift against none, and none against a learnt -0.8. */
  @Test
  void aRobustDriftIsToldFromTheWearThatIsExpected() {
    double[] wear = {21, 21, 22, 20, 17, 18, 17, 17, 14, 15, 14, 15, 13, 12, 9, 12, 7, 10, 7, 6};
    assertThat(drifts(Length.ZERO, wear)).isEqualTo(-1);
    assertThat(drifts(Lengths.of("-0.8 um"), wear)).isZero();
    assertThat(drifts(Lengths.of("-1.6 um"), wear)).isEqualTo(1);
    wear[10] = 400;
    assertThat(drifts(Lengths.of("-0.8 um"), wear)).isZero();
  }

  private static int drifts(Length wear, double... um) {
    ChartTest test = new LevelTest.Drift(20, 0.99, wear);
    ChartMemory memory = ChartTests.start(test);
    for (int i = 0; i < um.length; i++) {
      memory = ChartTests.next(test, memory, um[i] * 1e6, i + 1, true);
    }
    return ChartTests.signal(test, memory);
  }

  /** Metrology.md 4.15 [sim], here exact: P(green)^5 with green within half of each side. */
  @ParameterizedTest
  @CsvSource({"1.0, 0.49", "1.3333, 0.79"})
  void fiveGreensPassAsOftenAsThePageSays(double cp, double share) {
    double green = 1 - 2 * Quantiles.normalTail(1.5 * cp);
    assertThat(Math.pow(green, 5)).isCloseTo(share, within(0.005));
    Random random = new Random(SEED);
    ChartTest test = new LevelTest.PreControl(5);
    int passed = 0;
    for (int run = 0; run < 20_000; run++) {
      ChartMemory memory = ChartTests.start(test);
      for (int i = 0; i < 5; i++) {
        double w = random.nextGaussian() / (3 * cp);
        memory = ChartTests.next(test, memory, w, i, true);
      }
      passed += ((ChartMemory.Zones) memory).running() ? 1 : 0;
    }
    assertThat(passed / 20_000.0).as("seed %d", SEED).isCloseTo(share, within(0.012));
  }

  @Test
  void preControlBeginsWithItsGreensAndSignalsTwoYellows() {
    ChartTest test = new LevelTest.PreControl(5);
    assertThat(signals(test, 1, .6, .6, .1, .1, .1, .1)).isEmpty();
    assertThat(signals(test, 1, .1, .2, .3, .4, .5, .6, .1, .6, .7, .6, .6)).containsExactly(9);
    assertThat(signals(test, 1, .1, .2, .3, .4, .5, .6, -.6)).containsExactly(7);
    assertThat(signals(test, 1, .1, 1.01)).containsExactly(2);
  }

  /** ISO 7870-3 (from memory): 0.1 % beyond the limits, risk 5 %, single bores. */
  @Test
  void aLevelMayWanderUpToTheAcceptanceControlLimit() {
    double high = 10 - Quantiles.normal(0.999) + Quantiles.normal(0.95);
    ChartTest test = new SubgroupTest.Allowed(1, -high, high);
    assertThat(signals(test, 1, 8.5, -8.5)).isEmpty();
    assertThat(signals(test, 1, 8.6, -8.6)).containsExactly(1, 2);
    assertThat(signals(new SubgroupTest.Allowed(2, -2, 2), 1, 5, 1, 5, -2)).containsExactly(2, 3);
  }

  @Test
  void aMissingPartBeginsASubgroupAnew() {
    ChartTest test = new SubgroupTest.Subgroup(2, SubgroupTest.Statistic.RANGE, 3);
    Seat seat =
        Seat.of(
            new WatchRule.Chart("r", test, new ChartScale.Given(Lengths.of("1 um")), Seat.ALERT));
    seat.bore(1, Lengths.of("15 um"));
    assertThat(seat.bore(3, Lengths.of("25 um")).findings()).isEmpty();
    WatchStep step = seat.bore(4, Lengths.of("15 um"));
    assertThat(step.findings()).hasSize(1);
    assertThat(step.findings().get(0).key()).isEqualTo("spread/seat/r");
    assertThat(step.findings().get(0).words())
        .isEqualTo("the range of 2 bores is above its limits");
  }

  @Test
  void everySignalIsSaidInWords() {
    assertThat(SignalWords.of(new LevelTest.Jump(3, 4), -1))
        .isEqualTo("the last 3 bores are smaller by a step");
    assertThat(SignalWords.of(new LevelTest.Drift(20, .99, Length.ZERO), 1))
        .isEqualTo("20 bores become larger");
    assertThat(SignalWords.of(new LevelTest.Drift(20, .99, Lengths.of("-1 um")), -1))
        .isEqualTo("20 bores become smaller than the expected wear makes them");
    assertThat(SignalWords.of(new LevelTest.PreControl(5), ChartTests.NEITHER))
        .isEqualTo("two bores in a row near their limits, one low and one high");
    assertThat(SignalWords.of(new LevelTest.PreControl(5), -1))
        .isEqualTo("bores near or beyond the lower limit");
    assertThat(SignalWords.of(new SpreadTest.MovingRange(3.7), 1))
        .isEqualTo("two bores in a row more than 3.7 sigma apart");
    assertThat(SignalWords.of(new SpreadTest.Spreading(2, 10), 1))
        .isEqualTo("the spread from bore to bore has grown");
    assertThat(SignalWords.of(new SubgroupTest.Allowed(1, -2, 2), 1))
        .isEqualTo("a bore is above the level that is allowed");
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Moments;
import org.junit.jupiter.api.Test;

/** Charts as watches: from bores to findings. */
class ChartWatchTest {
  /** The sigma of either feature of S15. */
  private static final Length S15 = new Length(900_000);

  private static final int[] WEAR = {
    21, 21, 22, 20, 17, 18, 17, 17, 14, 15, 14, 15, 13, 12, 9, 12, 7, 10, 7, 6, 5, 5, 5, 3, 4, 0, 1,
    0, 0, -3
  };
  private static final int[] WEARS_FASTER = {
    21, 20, 20, 17, 18, 18, 17, 15, 14, 15, 14, 13, 12, 12, 8, 7, 6, 4, 3, 2
  };
  private static final ChartScale LEARNT_WEAR =
      new ChartScale.Sloped(Lengths.of("-0.8 um"), Lengths.of("1.1 um"));
  private static final ChartScale ONE_UM = new ChartScale.Given(Lengths.of("1 um"));

  private static Seat seat(ChartTest test, ChartScale scale) {
    return Seat.of(new WatchRule.Chart("w", test, scale, Seat.ALERT));
  }

  private static Length um(double deviation) {
    return new Length(Math.round(deviation * 1e6));
  }

  private static List<String> found(Seat seat, double... deviations) {
    List<String> found = new ArrayList<>();
    for (int i = 0; i < deviations.length; i++) {
      WatchStep step = seat.bore(i + 1, um(deviations[i]));
      int bore = i + 1;
      step.cleared().forEach(key -> found.add(bore + " cleared " + key));
      step.findings().forEach(finding -> found.add(bore + " " + finding.key()));
    }
    return found;
  }

  private static double[] doubles(int... values) {
    return Arrays.stream(values).asDoubleStream().toArray();
  }

  /** Metrology.md 7, S8: healthy wear as it was learnt (slope -0.8, s 1.1, CUSUM 0.5 / 5). */
  @Test
  void healthyWearIsNoFindingOnASlopedLine() {
    Seat seat = seat(new ChartTest.Cusum(0.5, 5, 0), LEARNT_WEAR);
    double highest = 0;
    double lowest = 0;
    for (int i = 0; i < WEAR.length; i++) {
      assertThat(seat.bore(i + 1, um(WEAR[i])).findings()).isEmpty();
      ChartMemory.Sums sums = (ChartMemory.Sums) ((ChartState) seat.state).memory();
      highest = Math.max(highest, sums.upper());
      lowest = Math.max(lowest, sums.lower());
    }
    assertThat(highest).isCloseTo(1.319, within(5e-4));
    assertThat(lowest).isCloseTo(1.495, within(5e-4));
  }

  /** The same, and none of the residuals is beyond 1.995. */
  @Test
  void theResidualsOfHealthyWearAreThoseOfTheScenario() {
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 1.994), LEARNT_WEAR), doubles(WEAR)))
        .isNotEmpty();
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 1.996), LEARNT_WEAR), doubles(WEAR)))
        .isEmpty();
  }

  /** Metrology.md 7, S8: C- 1.382, 2.818, 4.314, 6.755 at bores 15 to 18. */
  @Test
  void aToolThatWearsFasterThanLearntIsAFinding() {
    Seat seat = seat(new ChartTest.Cusum(0.5, 5, 0), LEARNT_WEAR);
    double[] expected = {1.382, 2.818, 4.314, 6.755};
    for (int i = 0; i < WEARS_FASTER.length; i++) {
      WatchStep step = seat.bore(i + 1, um(WEARS_FASTER[i]));
      if (i >= 14 && i < 18) {
        ChartMemory.Sums sums = (ChartMemory.Sums) ((ChartState) seat.state).memory();
        assertThat(sums.lower()).isCloseTo(expected[i - 14], within(5e-4));
      }
      assertThat(step.findings()).as("bore %d", i + 1).hasSize(i + 1 == 18 ? 1 : 0);
    }
  }

  /**
   * NIST/SEMATECH e-Handbook 6.3.2.2: ten flow rates, mean 50.81, mean moving range 1.8778; the
   * upper limit is 55.8024 with exact d2 (55.8041 with d2 = 1.128).
   */
  @Test
  void aBaselineGivesTheLimitsOfTheHandbook() {
    double[] flows = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    Seat below = seat(new ChartTest.Beyond(1, 1, 3), new ChartScale.Baseline(10));
    Seat above = seat(new ChartTest.Beyond(1, 1, 3), new ChartScale.Baseline(10));
    assertThat(found(below, flows)).isEmpty();
    assertThat(found(above, flows)).isEmpty();
    assertThat(below.bore(11, um(55.80)).findings()).isEmpty();
    assertThat(above.bore(11, um(55.81)).findings()).hasSize(1);
    // frozen: what comes after teaches nothing
    assertThat(below.bore(12, um(45.81)).findings()).hasSize(1);
  }

  @Test
  void aBaselineIsKeptOverAToolChangeAndForgottenWithNewRules() {
    Seat seat = seat(new ChartTest.Beyond(1, 1, 3), new ChartScale.Baseline(10));
    found(seat, 15, 16, 14, 15, 16, 15, 14, 15, 16, 15);
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    assertThat(seat.bore(20, um(25)).findings()).hasSize(1);
    assertThat(seat.newSegment(SegmentCause.RULES_CHANGED).cleared()).containsExactly("run/seat/w");
    assertThat(seat.bore(21, um(25)).findings()).isEmpty();
  }

  /** A range across a tool change says nothing of sigma: 5 + 4 ranges of 1 um, not one of 10. */
  @Test
  void noMovingRangeIsTakenAcrossAToolChange() {
    Seat seat = seat(new ChartTest.Beyond(1, 1, 3), new ChartScale.Baseline(10));
    found(seat, 15, 16, 15, 16, 15);
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    for (int i = 0; i < 5; i++) {
      seat.bore(6 + i, um(i % 2 == 0 ? 26 : 25));
    }
    assertThat(((ChartState) seat.state).learnt().ranges()).isEqualTo(8);
    assertThat(((ChartState) seat.state).learnt().rangeSum()).isEqualTo(8e6);
  }

  @Test
  void aSignalIsFoundOnceAndClearsWhenItEnds() {
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 3), ONE_UM), 15, 19, 19.5, 18, 11, 15))
        .containsExactly(
            "2 run/seat/w", "4 cleared run/seat/w", "5 run/seat/w", "6 cleared run/seat/w");
  }

  @Test
  void aSignalThatChangesItsSideIsFoundAnew() {
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 3), ONE_UM), 19, 11))
        .containsExactly("1 run/seat/w", "2 run/seat/w");
  }

  @Test
  void aStuckGaugeIsFoundAtTheCountOfEqualBores() {
    assertThat(
            found(
                seat(new ChartTest.Repeats(4), new ChartScale.None()), 14, 15, 15, 15, 15, 15, 14))
        .containsExactly("5 repeats/seat/w", "7 cleared repeats/seat/w");
  }

  @Test
  void alternatingBoresOfTwoStreamsAreSeen() {
    // metrology.md 7, S15: A and B by turns fire "14 alternating" at point 14
    double[] pool = new double[16];
    int[] a = {14, 15, 13, 14, 15, 14, 13, 14};
    int[] b = {8, 7, 8, 9, 8, 8, 7, 9};
    for (int i = 0; i < 8; i++) {
      pool[2 * i] = a[i];
      pool[2 * i + 1] = b[i];
    }
    assertThat(found(seat(new ChartTest.Alternating(14), new ChartScale.None()), pool))
        .containsExactly("14 run/seat/w");
    // and 4 um more on A is 1.3 sigma of the raw pool, but 4.4 sigma of its own
    Moments raw = Moments.NONE;
    for (double um : pool) {
      raw = raw.plus(um);
    }
    assertThat(4 / raw.standardDeviation()).isCloseTo(1.3, within(0.05));
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 4.4), new ChartScale.Given(S15)), 19))
        .containsExactly("1 run/seat/w");
    assertThat(found(seat(new ChartTest.Beyond(1, 1, 4.45), new ChartScale.Given(S15)), 19))
        .isEmpty();
  }

  @Test
  void aLateOrWithheldBoreIsLeftOut() {
    Seat seat = seat(new ChartTest.Trend(3), new ChartScale.None());
    seat.bore(10, um(1));
    assertThat(seat.bore(9, um(5)).counted()).isFalse();
    assertThat(seat.withheld(11).counted()).isFalse();
    seat.bore(12, um(2));
    WatchStep step = seat.bore(13, um(3));
    assertThat(step.findings().get(0).words())
        .isEqualTo("3 bores in a row, each larger than the last");
  }

  @Test
  void aCounterSetBackBeginsAnewAndClears() {
    Seat seat = seat(new ChartTest.Beyond(1, 1, 3), ONE_UM);
    seat.bore(500, um(20));
    WatchStep step = seat.bore(1, um(15));
    assertThat(step.counted()).isTrue();
    assertThat(step.cleared()).containsExactly("run/seat/w");
  }

  @Test
  void eachTestSaysWhatItSaw() {
    assertThat(words(new ChartTest.Beyond(2, 3, 2), 18, 18))
        .isEqualTo("2 of 3 bores more than 2 sigma above the centre");
    assertThat(words(new ChartTest.Beyond(1, 1, 3.5), 5))
        .isEqualTo("a bore more than 3.5 sigma below the centre");
    assertThat(words(new ChartTest.NearCentre(3, 1), 15, 15, 15))
        .isEqualTo("3 bores in a row within 1 sigma of the centre");
    assertThat(words(new ChartTest.BothSides(3, 1), 17, 13, 17))
        .isEqualTo("3 bores in a row more than 1 sigma off the centre, on both sides");
    assertThat(words(new ChartTest.Alternating(4), 15, 16, 15, 16))
        .isEqualTo("4 bores in a row up and down by turns");
    assertThat(words(new ChartTest.Repeats(2), 15, 15)).isEqualTo("2 equal bores in a row");
    assertThat(words(new ChartTest.Ewma(0.2, 3, false), 25))
        .isEqualTo("the moving average is beyond its limit, bores lie above the centre");
    assertThat(words(new ChartTest.Cusum(0.5, 4, 0), 5))
        .isEqualTo("the cumulative sum is beyond its limit, bores lie below the centre");
  }

  private static String words(ChartTest test, double... deviations) {
    Seat seat = seat(test, ONE_UM);
    WatchStep step = seat.newSegment(SegmentCause.GAP);
    for (int i = 0; i < deviations.length; i++) {
      step = seat.bore(i + 1, um(deviations[i]));
    }
    return step.findings().get(0).words();
  }

  @Test
  void aChartThatComparesWithASigmaNeedsOne() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> seat(new ChartTest.Ewma(0.2, 3, false), new ChartScale.None()))
        .withMessage("watch w needs a sigma, given or learnt");
  }
}

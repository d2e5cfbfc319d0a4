package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.function.LongFunction;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.RangeConstants;
import org.junit.jupiter.api.Test;

/**
 * Every watch whose definition has a limit, at that limit: a bore on it, or on the last whole
 * picometre before it, is on the near side, and one picometre farther is on the other. The limit is
 * written out from the definition; centre, sigma, multiples and side are drawn, and a failure
 * prints the seed.
 */
class ExactAtLimitsTest {
  private static final long SEED = Long.getLong("borewarden.seed", 20_261_127);
  private static final int DRAWS = 200;

  /**
   * A watch and its limit.
   *
   * @param name what it is
   * @param rule the watch
   * @param limit picometres from the centre; the last place that is not yet found
   * @param bores the bores, picometres from the centre, that end at or rest on the given place
   */
  private record Limit(String name, WatchRule rule, double limit, LongFunction<long[]> bores) {}

  /** What is drawn: sigma is even, and the multiple a half, so that many limits are whole. */
  private record Draw(long sigma, double multiple, boolean up) {
    static Draw of(Random random) {
      return new Draw(
          2L * (1 + random.nextInt(2_000_000)),
          (2 + random.nextInt(9)) / 2.0,
          random.nextBoolean());
    }

    WatchRule chart(ChartTest test) {
      return new WatchRule.Chart("w", test, new ChartScale.Given(new Length(sigma)), Seat.ALERT);
    }

    WatchRule unscaled(ChartTest test) {
      return new WatchRule.Chart("w", test, new ChartScale.None(), Seat.ALERT);
    }

    double sigmas(double of) {
      return of * sigma;
    }
  }

  private static long[] one(long place) {
    return new long[] {place};
  }

  private static LongFunction<long[]> times(int n) {
    return v -> {
      long[] bores = new long[n];
      Arrays.fill(bores, v);
      return bores;
    };
  }

  private static LongFunction<long[]> after(long... before) {
    return v -> {
      long[] bores = Arrays.copyOf(before, before.length + 1);
      bores[before.length] = v;
      return bores;
    };
  }

  private static List<Limit> charts(Draw d) {
    double m = d.multiple;
    long far = (long) d.sigmas(7);
    return List.of(
        new Limit(
            "beyond", d.chart(new ChartTest.Beyond(1, 1, m)), d.sigmas(m), ExactAtLimitsTest::one),
        new Limit(
            "two of three", d.chart(new ChartTest.Beyond(2, 3, m)), d.sigmas(m), after(far, 0)),
        new Limit("nine on a side", d.chart(new ChartTest.Beyond(9, 9, 0)), 0, times(9)),
        new Limit("run", new WatchRule.OneSide("w", 6, Seat.ALERT), 0, times(6)),
        new Limit("trend", d.unscaled(new ChartTest.Trend(4)), 9, after(-4, 2, 9)),
        new Limit("by turns", d.unscaled(new ChartTest.Alternating(4)), 0, after(0, 5, 0)),
        new Limit(
            "both sides", d.chart(new ChartTest.BothSides(3, m)), d.sigmas(m), after(far, -far)),
        new Limit(
            "average",
            d.chart(new ChartTest.Ewma(1, m, false)),
            d.sigmas(m),
            ExactAtLimitsTest::one),
        new Limit(
            "settled average",
            d.chart(new ChartTest.Ewma(0.2, m, true)),
            d.sigmas(m) * Math.sqrt(0.2 / 1.8) / 0.2,
            ExactAtLimitsTest::one),
        new Limit(
            "sum",
            d.chart(new ChartTest.Cusum(0.5, m, 0)),
            d.sigmas(m + 0.5),
            ExactAtLimitsTest::one),
        new Limit(
            "sum with head start",
            d.chart(new ChartTest.Cusum(0.5, m, 0.5)),
            d.sigmas(m / 2 + 0.5),
            ExactAtLimitsTest::one));
  }

  private static List<Limit> others(Draw d) {
    double m = d.multiple;
    RangeConstants of = RangeConstants.of(2);
    double range = of.d2() + m * of.d3();
    double deviation = (of.c4() + m * Math.sqrt(1 - of.c4() * of.c4())) * Math.sqrt(2);
    return List.of(
        new Limit("moving range", d.chart(new SpreadTest.MovingRange(m)), d.sigmas(m), after(0)),
        new Limit(
            "spread",
            d.chart(new SpreadTest.Spreading(1.5, m)),
            d.sigmas(Math.sqrt(2 * (m + 1.5))),
            after(0)),
        new Limit(
            "step of one", d.chart(new LevelTest.Jump(1, m)), d.sigmas(m * Math.sqrt(2)), after(0)),
        new Limit(
            "step of two", d.chart(new LevelTest.Jump(2, m)), 2 * d.sigmas(m), after(0, 0, 0)),
        new Limit(
            "mean of two",
            d.chart(new SubgroupTest.Subgroup(2, SubgroupTest.Statistic.MEAN, m)),
            d.sigmas(m * Math.sqrt(2)),
            after(0)),
        new Limit(
            "mean of four",
            d.chart(new SubgroupTest.Subgroup(4, SubgroupTest.Statistic.MEAN, m)),
            d.sigmas(m / 2),
            times(4)),
        new Limit(
            "range of two",
            d.chart(new SubgroupTest.Subgroup(2, SubgroupTest.Statistic.RANGE, m)),
            d.sigmas(range),
            after(0)),
        new Limit(
            "deviation of two",
            d.chart(new SubgroupTest.Subgroup(2, SubgroupTest.Statistic.DEVIATION, m)),
            d.sigmas(deviation),
            after(0)),
        new Limit(
            "acceptance",
            d.chart(new SubgroupTest.Allowed(1, -m, m)),
            d.sigmas(m),
            ExactAtLimitsTest::one),
        new Limit(
            "pre-control, out",
            new WatchRule.Chart(
                "w",
                new LevelTest.PreControl(1),
                new ChartScale.Zones(new Length(d.sigma), new Length(d.sigma)),
                Seat.ALERT),
            d.sigmas(1),
            ExactAtLimitsTest::one),
        new Limit(
            "pre-control, yellow",
            new WatchRule.Chart(
                "w",
                new LevelTest.PreControl(1),
                new ChartScale.Zones(new Length(d.sigma), new Length(d.sigma)),
                Seat.ALERT),
            d.sigma / 2.0,
            after(0, d.sigma)));
  }

  private static boolean found(Limit limit, Draw draw, long place, long centre) {
    Seat seat = seat(limit.rule(), centre);
    long[] bores = limit.bores().apply(place);
    WatchStep step = seat.newSegment(SegmentCause.GAP);
    for (int i = 0; i < bores.length; i++) {
      assertThat(step.findings()).as("%s before its last bore", limit.name()).isEmpty();
      step = seat.bore(i + 1, new Length(centre + (draw.up() ? bores[i] : -bores[i])));
    }
    return !step.findings().isEmpty();
  }

  /** Bores are told from nominal; so is the centre. */
  private static Seat seat(WatchRule rule, long centre) {
    Length nominal = new Length(62_000_000_000L);
    return new Seat(
        nominal,
        new Limits(Optional.of(nominal), Optional.of(nominal.plus(new Length(30_000_000)))),
        nominal.plus(new Length(centre)),
        new DecisionRule.Simple(),
        rule);
  }

  @Test
  void onItsLimitAWatchFindsNothingAndOnePicometreFartherItFinds() {
    Random random = new Random(SEED);
    int whole = 0;
    for (int i = 0; i < DRAWS; i++) {
      Draw draw = Draw.of(random);
      long centre = random.nextInt(30_000_000);
      List<Limit> limits = new ArrayList<>(charts(draw));
      limits.addAll(others(draw));
      for (Limit limit : limits) {
        long last = (long) Math.floor(limit.limit());
        whole += last == limit.limit() ? 1 : 0;
        assertThat(found(limit, draw, last, centre))
            .as("%s at %d pm, %s, seed %d", limit.name(), last, draw, SEED)
            .isFalse();
        assertThat(found(limit, draw, last + 1, centre))
            .as("%s at %d pm, %s, seed %d", limit.name(), last + 1, draw, SEED)
            .isTrue();
      }
    }
    assertThat(whole).as("limits that a bore lies on exactly").isGreaterThan(10 * DRAWS);
  }

  /** These find what is inside: on the limit they find, one picometre farther they do not. */
  @Test
  void aBoreOnTheLimitOfNearCentreIsNearAndOnlyEqualBoresAreEqual() {
    Random random = new Random(SEED);
    for (int i = 0; i < DRAWS; i++) {
      Draw draw = Draw.of(random);
      double multiple = draw.sigmas(draw.multiple());
      long last = (long) multiple;
      Limit near =
          new Limit(
              "near",
              draw.chart(new ChartTest.NearCentre(3, draw.multiple())),
              multiple,
              after(0, -last));
      Limit equal =
          new Limit("equal", draw.unscaled(new ChartTest.Repeats(3)), multiple, after(last, last));
      for (Limit limit : List.of(near, equal)) {
        assertThat(found(limit, draw, last, 15_000_000))
            .as("%s, %s, seed %d", limit.name(), draw, SEED)
            .isTrue();
        assertThat(found(limit, draw, last + 1, 15_000_000))
            .as("%s, %s, seed %d", limit.name(), draw, SEED)
            .isFalse();
      }
    }
  }

  /** Bores that fall exactly as expected, and by one picometre a part less or more. */
  @Test
  void aDriftThatIsExactlyTheExpectedWearIsNoneAndOnePicometreAPartMoreIsOne() {
    Random random = new Random(SEED);
    for (int i = 0; i < DRAWS; i++) {
      long wear = random.nextInt(2_000_001) - 1_000_000L;
      LevelTest.Drift drift = new LevelTest.Drift(8 + random.nextInt(25), 0.99, new Length(wear));
      for (int more = -1; more <= 1; more++) {
        Seat seat =
            seat(new WatchRule.Chart("w", drift, new ChartScale.None(), Seat.ALERT), 15_000_000);
        WatchStep step = seat.newSegment(SegmentCause.GAP);
        for (int n = 1; n <= drift.bores(); n++) {
          step = seat.bore(n, new Length(15_000_000 + n * (wear + more)));
        }
        assertThat(step.findings())
            .as("wear %d pm, %d more, seed %d", wear, more, SEED)
            .hasSize(Math.abs(more));
      }
    }
  }

  /** At q standard errors a slope is proven; the smallest number less, and it is not. */
  @Test
  void aSlopeOfExactlyTheQuantileIsProven() {
    Line at = new Line(20, 18, 20, 0, 0, 3, 4, 1);
    Line under = new Line(20, 18, 20, 0, 0, Math.nextDown(3.0), 4, 1);
    assertThat(at.slopesToward(1, 2, 3)).isTrue();
    assertThat(under.slopesToward(1, 2, 3)).isFalse();
    assertThat(at.slopesToward(-1, 2, 3)).isFalse();
  }

  @Test
  void anOffsetIsToldFromFourUncertaintiesOnAndIsAsAskedWithinThree() {
    Random random = new Random(SEED);
    for (int i = 0; i < DRAWS; i++) {
      double u = 1 + random.nextInt(1_000_000);
      assertThat(OffsetProof.of(4 * u, 4 * u, u)).isEqualTo(OffsetProof.AS_ASKED);
      assertThat(OffsetProof.of(4 * u - 1, 4 * u - 1, u)).isEqualTo(OffsetProof.CANNOT_TELL);
      double asked = 20 * u;
      assertThat(OffsetProof.of(asked, asked + 3 * u, u)).isEqualTo(OffsetProof.AS_ASKED);
      assertThat(OffsetProof.of(asked, asked + 3 * u + 1, u)).isEqualTo(OffsetProof.OTHERWISE);
      assertThat(OffsetProof.of(asked, -3 * u, u)).isEqualTo(OffsetProof.NOT_TAKEN);
      assertThat(OffsetProof.of(asked, -3 * u - 1, u)).isEqualTo(OffsetProof.OTHERWISE);
    }
  }

  /** Capability counts as beyond what is beyond: not a bore on its limit. */
  @Test
  void aBoreOnALimitOfSizeIsNotCountedBeyondIt() {
    Seat seat = seat(new WatchRule.Capability("c", 0.95, OptionalInt.empty()), 15_000_000);
    long[] bores = {0, 30_000_000, -1, 30_000_001, 30_000_000, 0};
    for (int n = 0; n < bores.length; n++) {
      seat.bore(n + 1, new Length(bores[n]));
    }
    CapabilityState.Life life = ((CapabilityState) seat.state).life();
    assertThat(life.under()).isEqualTo(1);
    assertThat(life.over()).isEqualTo(1);
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.apache.commons.math3.stat.regression.OLSMultipleLinearRegression;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.SlopeSums;
import org.junit.jupiter.api.Test;

/** A common slope over the features that one tool cuts, each with its own level. */
class PooledSlopeTest {
  private static final long SEED = Long.getLong("borewarden.seed", 20_261_127);
  private static final int RUNS = 40;

  /** A feature under a forecast, and what it was fed: part, picometres from nominal. */
  private static final class Fed {
    final Seat seat = Seat.of(Seat.forecast(Optional.empty(), 1));
    final List<List<double[]>> segments = new ArrayList<>(List.of(new ArrayList<>()));

    void bore(long part, double um) {
      long off = Math.round(um * 1e6);
      seat.bore(part, new Length(off));
      segments.get(segments.size() - 1).add(new double[] {part, off});
    }

    void offset() {
      seat.newSegment(SegmentCause.OFFSET_ENTERED);
      segments.add(new ArrayList<>());
    }

    ForecastState state() {
      return (ForecastState) seat.state;
    }
  }

  /** Two gauges in line, the second a part behind: no point more, but a bore more of a part. */
  @Test
  void aBoreThatComesLateCountsAmongTheBoresOfAPart() {
    Feature first = ScenariosTest.named("a", "14 um");
    Feature second = ScenariosTest.named("b", "8 um");
    Pool pool =
        new Pool(
            "tool",
            List.of(
                new Pool.Member("a", Lengths.of("0.9 um")),
                new Pool.Member("b", Lengths.of("0.9 um"))),
            List.of(),
            true);
    PoolState state = Pools.start(pool);
    for (int part = 1; part <= 6; part++) {
      state = ScenariosTest.taken(pool, state, first, part, 14).next();
      state = ScenariosTest.taken(pool, state, second, part - 1, 8).next();
    }
    assertThat(state.points()).isEqualTo(6);
    assertThat(state.counted()).isEqualTo(12);
  }

  private static PooledSlope pooled(double boresPerPart) {
    return new PooledSlope(SlopeSums.NONE, boresPerPart, 0);
  }

  /**
   * Apache Commons Math, least squares over all rows divided by the sigma of their feature, a level
   * for each segment of each feature: the slope, its standard error, the residual sigma, and the
   * standard error of a level ahead.
   */
  @Test
  void slopeErrorAndLevelAreThoseOfALibraryOfLeastSquares() {
    Random random = new Random(SEED);
    for (int run = 0; run < RUNS; run++) {
      int features = 2 + random.nextInt(3);
      double slope = 2 * random.nextDouble() - 1.5;
      List<Fed> fed = new ArrayList<>();
      double[] sigmas = new double[features];
      for (int f = 0; f < features; f++) {
        fed.add(new Fed());
        sigmas[f] = 0.5 + random.nextInt(4);
      }
      for (int part = 1; part <= 40; part++) {
        int f = random.nextInt(features);
        fed.get(f).bore(part, 10 * f + slope * part + sigmas[f] * random.nextGaussian());
        if (random.nextInt(25) == 0) {
          fed.get(f).offset();
        }
      }
      fed.forEach(feature -> feature.bore(41, 5 + random.nextGaussian()));
      PooledSlope others = pooled(1);
      for (int f = 1; f < features; f++) {
        double ratio = sigmas[0] / sigmas[f];
        others = others.and(fed.get(f).state(), ratio * ratio);
      }
      ForecastState asks = fed.get(0).state();
      Line line = others.fit(asks.open(), asks.closed()).orElseThrow();
      compare(line, asks, fed, sigmas, "run " + run + ", seed " + SEED);
    }
  }

  private static void compare(
      Line line, ForecastState asks, List<Fed> fed, double[] sigmas, String what) {
    int levels = fed.stream().mapToInt(f -> filled(f).size()).sum();
    List<double[]> rows = new ArrayList<>();
    List<Double> sizes = new ArrayList<>();
    int level = 0;
    int asking = 0;
    for (int f = 0; f < fed.size(); f++) {
      for (List<double[]> segment : filled(fed.get(f))) {
        asking = f == 0 ? level : asking;
        for (double[] bore : segment) {
          double[] row = new double[levels + 1];
          row[level] = sigmas[0] / sigmas[f];
          row[levels] = bore[0] * sigmas[0] / sigmas[f];
          rows.add(row);
          sizes.add(bore[1] * sigmas[0] / sigmas[f]);
        }
        level++;
      }
    }
    OLSMultipleLinearRegression library = new OLSMultipleLinearRegression();
    library.setNoIntercept(true);
    library.newSampleData(
        sizes.stream().mapToDouble(y -> y).toArray(), rows.toArray(double[][]::new));
    double sigma = Math.sqrt(library.estimateErrorVariance());
    double[] fitted = library.estimateRegressionParameters();
    double[][] spread = library.estimateRegressionParametersVariance();
    assertThat(line.slope()).as(what).isCloseTo(fitted[levels], within(1e-3));
    assertThat(line.residualDeviation()).as(what).isCloseTo(sigma, within(1e-8 * sigma));
    double error = Math.sqrt(spread[levels][levels]);
    assertThat(1 / Math.sqrt(line.sxx())).as(what).isCloseTo(error, within(1e-8 * error));
    double ahead = 50;
    double x = ahead - asks.firstPart();
    assertThat(line.at(x)).as(what).isCloseTo(fitted[asking] + fitted[levels] * ahead, within(1.0));
    double variance =
        spread[asking][asking]
            + 2 * ahead * spread[asking][levels]
            + ahead * ahead * spread[levels][levels];
    double off = x - line.meanX();
    assertThat(1.0 / line.levelCount() + off * off / line.sxx())
        .as(what)
        .isCloseTo(variance, within(1e-6 * variance));
  }

  private static List<List<double[]>> filled(Fed fed) {
    return fed.segments.stream().filter(segment -> !segment.isEmpty()).toList();
  }

  /** Two features that err alike on every part tell no more than one of them. */
  @Test
  void onePartIsOnePoint() {
    Random random = new Random(SEED);
    Fed one = new Fed();
    Fed twin = new Fed();
    for (int part = 1; part <= 20; part++) {
      double um = 20 - 0.5 * part + random.nextGaussian();
      one.bore(part, um);
      twin.bore(part, um - 7);
    }
    ForecastState asks = one.state();
    Line alone = Line.fit(asks.open(), asks.closed()).orElseThrow();
    Line both = pooled(2).and(twin.state(), 1).fit(asks.open(), asks.closed()).orElseThrow();
    assertThat(both.count()).isEqualTo(alone.count());
    assertThat(both.freedom()).isEqualTo(alone.freedom());
    assertThat(both.slope()).isCloseTo(alone.slope(), within(1e-6));
    assertThat(both.sxx()).isCloseTo(alone.sxx(), within(1e-9));
    // of 2 n - 3 degrees of freedom instead of n - 2
    assertThat(both.residualDeviation())
        .isCloseTo(alone.residualDeviation() * Math.sqrt(2 * 18 / 37.0), within(1e-3));
    Line byTurns = pooled(1).and(twin.state(), 1).fit(asks.open(), asks.closed()).orElseThrow();
    assertThat(byTurns.sxx()).isCloseTo(2 * alone.sxx(), within(1e-9));
  }

  @Test
  void withoutOtherBoresTheLineIsTheFeaturesOwn() {
    Fed one = new Fed();
    one.bore(1, 20);
    one.bore(3, 18);
    one.bore(4, 18);
    ForecastState asks = one.state();
    assertThat(PooledSlope.NONE.fit(asks.open(), asks.closed()))
        .isEqualTo(Line.fit(asks.open(), asks.closed()));
    assertThat(pooled(1).and(ForecastState.NONE, 1).speaks()).isFalse();
    assertThatIllegalArgumentException().isThrownBy(() -> pooled(0.5));
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.api.Test;

/** The stream in place against the pure steps, bore by bore: the same bits. */
class RunningStreamTest {
  private static final long LOWER = 62_000_000_000L;
  private static final Length CENTRE = new Length(LOWER + 15_000_000);
  private static final Length SIGMA = new Length(1_000_000);

  private static final List<ChartTest> TESTS =
      List.of(
          new ChartTest.Beyond(1, 1, 3),
          new ChartTest.Beyond(9, 9, 0),
          new ChartTest.Trend(6),
          new ChartTest.Alternating(14),
          new ChartTest.Beyond(2, 3, 2),
          new ChartTest.Beyond(4, 5, 1),
          new ChartTest.NearCentre(15, 1),
          new ChartTest.BothSides(8, 1),
          new ChartTest.Repeats(4),
          new ChartTest.Ewma(0.2, 2.86, false),
          new ChartTest.Cusum(0.5, 4.77, 0.5),
          new SpreadTest.MovingRange(3),
          new LevelTest.Jump(3, 3),
          new SubgroupTest.Subgroup(4, SubgroupTest.Statistic.RANGE, 3));

  private static Seat seat(WatchRule rule) {
    return new Seat(
        CENTRE,
        new Limits(Optional.of(new Length(LOWER)), Optional.of(new Length(LOWER + 30_000_000))),
        CENTRE,
        DecisionRule.Guard.of(BigDecimal.ONE, new Length(2_468_000)),
        rule);
  }

  private static Seat forecast() {
    return seat(Seat.forecast(Optional.of(SIGMA), 1));
  }

  private static List<Seat> charts() {
    List<Seat> seats = new ArrayList<>();
    for (ChartTest test : TESTS) {
      // A chart without a sigma counts in picometres; in sigmas it is the same pattern.
      seats.add(seat(new WatchRule.Chart("c", test, new ChartScale.Given(SIGMA), Seat.ALERT)));
    }
    return seats;
  }

  private static RunningStream stream() {
    return new RunningStream(forecast().acceptance, CENTRE, SIGMA, TESTS, 0.95, 12);
  }

  @Test
  void itSaysOfEachBoreWhatThePureStepsSay() {
    int foretold = 0;
    int signals = 0;
    for (long seed = 1; seed <= 60; seed++) {
      Random random = new Random(seed);
      double slope = 1.6 * random.nextDouble() - 0.8;
      RunningStream stream = stream();
      Seat forecast = forecast();
      List<Seat> charts = charts();
      long part = random.nextInt(1000);
      for (int i = 0; i < 60; i++) {
        if (i == 25) {
          stream.offsetEntered();
          charts.forEach(chart -> chart.newSegment(SegmentCause.OFFSET_ENTERED));
          forecast.newSegment(SegmentCause.OFFSET_ENTERED);
        }
        if (i == 50) {
          stream.toolChanged();
          charts.forEach(chart -> chart.newSegment(SegmentCause.TOOL_CHANGED));
          forecast.newSegment(SegmentCause.TOOL_CHANGED);
        }
        part += 1 + random.nextInt(2);
        Length off = new Length(Math.round(slope * (i % 25) + random.nextGaussian()) * 1_000_000);
        Length size = CENTRE.plus(off);
        Judgement judged = Judge.judge(forecast.acceptance, size);
        assertThat(stream.take(part, size.picometres())).isEqualTo(judged.verdict());
        assertThat(stream.conformity()).isEqualTo(judged.conformity().orElse(Double.NaN));
        ForecastView view = forecast.bore(part, off).forecast().orElseThrow();
        assertThat(stream.partsLeft()).as("seed %d", seed).isEqualTo(view.partsLeft().orElse(0));
        foretold += stream.partsLeft() > 0 ? 1 : 0;
        for (int k = 0; k < TESTS.size(); k++) {
          charts.get(k).bore(part, off);
          int side = ((ChartState) charts.get(k).state).side();
          assertThat(stream.signal(k)).as("seed %d, %s", seed, TESTS.get(k)).isEqualTo(side);
          signals += side == 0 ? 0 : 1;
        }
      }
    }
    assertThat(foretold).isGreaterThan(200);
    assertThat(signals).isGreaterThan(200);
  }

  @Test
  void aPartThatDoesNotComeAfterTheOneBeforeIsRefused() {
    RunningStream stream = stream();
    stream.take(7, CENTRE.picometres());
    assertThatThrownBy(() -> stream.take(7, CENTRE.picometres()))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("part 7 after part 7");
  }

  @Test
  void settingsOutOfTheirRangeAreRefused() {
    var acceptance = forecast().acceptance;
    assertThatThrownBy(
            () -> new RunningStream(acceptance, CENTRE, Length.ZERO, List.of(), 0.95, 12))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new RunningStream(acceptance, CENTRE, SIGMA, List.of(), 0.5, 12))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new RunningStream(acceptance, CENTRE, SIGMA, List.of(), 0.95, 2))
        .isInstanceOf(IllegalArgumentException.class);
  }
}

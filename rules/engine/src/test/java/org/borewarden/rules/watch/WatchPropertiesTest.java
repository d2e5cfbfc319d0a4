package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Regression;
import org.junit.jupiter.api.Test;

/** What must hold for any series of bores; a failure prints its seed. */
class WatchPropertiesTest {
  private static final int LIVES = 60;
  private static final WatchRule RUN = new WatchRule.OneSide("six", 6, Seat.ALERT);
  private static final WatchRule GIVEN = Seat.forecast(Optional.of(new Length(1_000_000)), 2);
  private static final WatchRule RESIDUAL = Seat.forecast(Optional.empty(), 2);

  /** A wearing, noisy life at a resolution of 1 um, some parts not measured. */
  private static List<long[]> life(Random random) {
    List<long[]> bores = new ArrayList<>();
    double slope = -1.2 * random.nextDouble();
    long part = random.nextInt(1000);
    for (int i = 0; i < 40; i++) {
      part += 1 + random.nextInt(3);
      long um = Math.round(22 + slope * i + random.nextGaussian());
      bores.add(new long[] {part, um * 1_000_000});
    }
    return bores;
  }

  private static Seat seat(WatchRule rule, long nominal, long limitShift) {
    long base = 62_000_000_000L + limitShift;
    return new Seat(
        new Length(nominal),
        new Limits(Optional.of(new Length(base)), Optional.of(new Length(base + 30_000_000))),
        new Length(base + 15_000_000),
        new DecisionRule.Simple(),
        rule);
  }

  private static WatchStep bore(Seat seat, long[] bore, long valueShift) {
    Length value = new Length(62_000_000_000L + bore[1] + valueShift);
    return seat.bore(bore[0], value.minus(seat.feature.nominal()));
  }

  @Test
  void aStateThatWasWrittenDownAndReadBackHasTheSameFuture() {
    for (WatchRule rule : List.of(RUN, GIVEN, RESIDUAL)) {
      for (long seed = 1; seed <= LIVES; seed++) {
        List<long[]> life = life(new Random(seed));
        Seat whole = seat(rule, 62_000_000_000L, 0);
        Seat resumed = seat(rule, 62_000_000_000L, 0);
        for (long[] bore : life) {
          WatchStep one = bore(whole, bore, 0);
          resumed.state = copy(resumed.state);
          assertThat(bore(resumed, bore, 0)).as("seed %s, %s", seed, rule).isEqualTo(one);
        }
      }
    }
  }

  /** Through the text of every number, as a snapshot does it. */
  private static WatchState copy(WatchState state) {
    if (state instanceof OneSideState s) {
      return new OneSideState(s.lastPart(), s.started(), s.side(), s.run(), s.stands());
    }
    ForecastState s = (ForecastState) state;
    var open = s.open();
    return new ForecastState(
        new Regression(
            open.count(),
            text(open.meanX()),
            text(open.meanY()),
            text(open.sxx()),
            text(open.sxy()),
            text(open.residualSquares())),
        s.closed(),
        s.closedLength(),
        s.firstPart(),
        s.earliestPart(),
        s.lastPart(),
        s.alertRun(),
        s.holdRun(),
        s.stands(),
        s.lives());
  }

  private static double text(double number) {
    return Double.parseDouble(Double.toString(number));
  }

  @Test
  void movingNominalLimitsAndBoresTogetherChangesNothing() {
    for (WatchRule rule : List.of(RUN, GIVEN, RESIDUAL)) {
      for (long seed = 1; seed <= LIVES; seed++) {
        Random random = new Random(seed);
        List<long[]> life = life(random);
        long by = random.nextInt(1_000_000_000);
        Seat here = seat(rule, 62_000_000_000L, 0);
        Seat there = seat(rule, 62_000_000_000L + by, by);
        for (long[] bore : life) {
          assertThat(bore(there, bore, by))
              .as("seed %s, %s", seed, rule)
              .isEqualTo(bore(here, bore, 0));
        }
      }
    }
  }

  /** Deviations then differ by a constant, so that only rounding in the last digits may. */
  @Test
  void theNominalFromWhichDeviationsAreCountedChangesNoFinding() {
    int found = 0;
    for (WatchRule rule : List.of(RUN, GIVEN)) {
      for (long seed = 1; seed <= LIVES; seed++) {
        List<long[]> life = life(new Random(seed));
        Seat here = seat(rule, 62_000_000_000L, 0);
        Seat there = seat(rule, 62_015_000_000L, 0);
        for (long[] bore : life) {
          WatchStep one = bore(here, bore, 0);
          WatchStep other = bore(there, bore, 0);
          assertThat(other.findings()).as("seed %s, %s", seed, rule).isEqualTo(one.findings());
          assertThat(other.cleared()).as("seed %s, %s", seed, rule).isEqualTo(one.cleared());
          found += one.findings().size();
        }
      }
    }
    assertThat(found).as("the lives do find something").isGreaterThan(LIVES);
  }

  /** h is the smallest: at h the bound is at or beyond the limit, one part before it is not. */
  @Test
  void thePartsLeftAreTheSmallestForWhichTheBoundReachesTheLimit() {
    int checked = 0;
    for (long seed = 1; seed <= LIVES; seed++) {
      Seat seat = seat(GIVEN, 62_000_000_000L, 0);
      for (long[] bore : life(new Random(seed))) {
        WatchStep step = bore(seat, bore, 0);
        ForecastView view = step.forecast().orElseThrow();
        if (view.partsLeft().isPresent()) {
          int h = view.partsLeft().getAsInt();
          assertThat(bound((ForecastState) seat.state, h))
              .as("seed %s", seed)
              .isLessThanOrEqualTo(0);
          if (h > 1) {
            assertThat(bound((ForecastState) seat.state, h - 1)).as("seed %s", seed).isPositive();
          }
          checked++;
        }
      }
    }
    assertThat(checked).isGreaterThan(LIVES);
  }

  /** The lower 95 % bound above nominal, in picometres, written out from the definition. */
  private static double bound(ForecastState state, int h) {
    var r = state.open();
    double x = state.lastPart() - state.firstPart() + h;
    double width =
        1.6448536269514722
            * 1e6
            * Math.sqrt(1 + 1.0 / r.count() + (x - r.meanX()) * (x - r.meanX()) / r.sxx());
    return r.meanY() + r.sxy() / r.sxx() * (x - r.meanX()) - width;
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.api.Test;

/**
 * A prior of the slope from earlier inserts (metrology.md 4.3). The figures were computed
 * independently, from the normal equations of level and slope with one more observation of the
 * slope.
 */
class SlopePriorTest {
  private static final Optional<Length> ONE = Optional.of(um(1));
  private static final SlopePrior GIVEN =
      new SlopePrior.Given(new Length(-800_000), new Length(100_000), 40, 5);

  /** Of three earlier tools, micrometres above nominal. */
  private static final List<List<Integer>> LIVES =
      List.of(
          List.of(20, 20, 18, 19, 17, 16, 16, 15, 13, 14, 12, 12),
          List.of(21, 20, 20, 18, 18, 16, 15, 15, 14, 12, 12, 10),
          List.of(22, 21, 20, 20, 18, 19, 17, 16, 15, 16, 14, 13));

  private static Length um(int deviation) {
    return new Length(deviation * 1_000_000L);
  }

  private static WatchRule.Forecast rule(Optional<Length> sigma, SlopePrior prior) {
    return new WatchRule.Forecast(
        "wear",
        0.95,
        12,
        sigma,
        4,
        OptionalInt.of(10),
        OptionalInt.of(4),
        1,
        Seat.ALERT,
        Seat.HOLD,
        Optional.of(prior));
  }

  private static ForecastView bore(Seat seat, int part, int deviation) {
    return seat.bore(part, um(deviation)).forecast().orElseThrow();
  }

  private static Seat taught() {
    Seat seat = Seat.of(rule(Optional.empty(), new SlopePrior.Learnt(3, 5)));
    for (List<Integer> life : LIVES) {
      for (int i = 0; i < life.size(); i++) {
        seat.bore(i + 1, um(life.get(i)));
      }
      seat.newSegment(SegmentCause.TOOL_CHANGED);
    }
    return seat;
  }

  @Test
  void fiveBoresAreEnoughWithASlopeThatIsGiven() {
    Seat seat = Seat.of(rule(ONE, GIVEN));
    double[] slopes = {-.80909091, -.80425532, -.8046875, -.78521127, -.825, -.8109589, -.80476190};
    int[] left = {19, 18, 17, 17, 15, 15, 14};
    for (int n = 1; n <= 11; n++) {
      ForecastView view = bore(seat, n, ForecastFiguresTest.WEAR.get(n - 1));
      if (n < 5) {
        assertThat(view.noForecast()).contains("too-few");
        assertThat(view.prior()).isEmpty();
      } else {
        assertThat(view.slope().orElseThrow() * 1e6).isCloseTo(slopes[n - 5], within(1e-8));
        assertThat(view.partsLeft()).hasValue(left[n - 5]);
        assertThat(view.prior()).contains("earlier-tools");
      }
    }
  }

  /** As shared with the definition: n = 12: b -.7308, h 15, but no farther than its 11 parts. */
  @Test
  void onceItsOwnMinimumStandsTheInsertSpeaksAlone() {
    Seat seat = Seat.of(rule(ONE, GIVEN));
    ForecastView last = bore(seat, 1, ForecastFiguresTest.WEAR.get(0));
    for (int n = 2; n <= 12; n++) {
      last = bore(seat, n, ForecastFiguresTest.WEAR.get(n - 1));
    }
    assertThat(last.prior()).isEmpty();
    assertThat(last.slope().orElseThrow() * 1e6).isCloseTo(-.7308, within(5e-5));
    assertThat(last.noForecast()).contains("beyond-the-data");
  }

  @Test
  void anInsertThatIsSetTooLowIsHeldBeforeItsTwelfthBore() {
    int[] left = {5, 4, 3, 2, 1, 1, 1};
    Seat with = Seat.of(rule(ONE, GIVEN));
    Seat without = Seat.of(Seat.forecast(ONE, 1));
    for (int n = 1; n <= 11; n++) {
      int low = ForecastFiguresTest.WEAR.get(n - 1) - 13;
      WatchStep step = with.bore(n, um(low));
      assertThat(without.bore(n, um(low)).findings()).as("without a prior").isEmpty();
      if (n >= 5) {
        assertThat(step.forecast().orElseThrow().partsLeft()).hasValue(left[n - 5]);
        assertThat(step.findings())
            .extracting(Finding::action)
            .containsExactly(n == 5 ? Seat.ALERT : Seat.HOLD);
      }
    }
  }

  @Test
  void threeToolsTeachTheSlopeTheScatterAndHowFarAToolLasts() {
    Seat seat = taught();
    ForecastState.Lives lives = ((ForecastState) seat.state).lives();
    assertThat(lives.slopes().mean() / 1e6).isCloseTo(-.84615385, within(1e-8));
    assertThat(lives.slopes().standardDeviation() / 1e6).isCloseTo(.11205189, within(1e-8));
    assertThat(lives.freedom()).isEqualTo(30);
    assertThat(lives.residualSquares() / 1e12).isCloseTo(11.08857809, within(1e-7));
    assertThat(lives.shortest()).isEqualTo(11);
    int[] left = {7, 0, 6, 6, 4, 4, 3};
    double[] slopes = {-.87278733, -.83495824, -.82778994, -.76797332, -.86364361};
    for (int n = 1; n <= 11; n++) {
      ForecastView view = bore(seat, n, ForecastFiguresTest.WEAR.get(n - 1) - 10);
      if (n >= 5) {
        assertThat(view.partsLeft().orElse(0)).as("bore %d", n).isEqualTo(left[n - 5]);
        assertThat(view.sigmaKind()).isEqualTo("pooled");
      }
      if (n >= 5 && n < 10) {
        assertThat(view.slope().orElseThrow() * 1e6).isCloseTo(slopes[n - 5], within(1e-7));
      }
      if (n == 5) {
        assertThat(view.sigma().orElseThrow() * 1e6).isCloseTo(.73419876, within(1e-8));
      }
    }
  }

  @Test
  void twoToolsTeachNothingYetAndNewRulesForgetAll() {
    Seat seat = taught();
    seat.newSegment(SegmentCause.GAP);
    assertThat(((ForecastState) seat.state).lives().slopes().count()).isEqualTo(3);
    seat.newSegment(SegmentCause.RULES_CHANGED);
    assertThat(((ForecastState) seat.state).lives()).isEqualTo(ForecastState.Lives.NONE);
    for (int life = 0; life < 2; life++) {
      for (int i = 0; i < 12; i++) {
        seat.bore(i + 1, um(LIVES.get(life).get(i)));
      }
      seat.newSegment(SegmentCause.TOOL_CHANGED);
    }
    for (int n = 1; n <= 11; n++) {
      assertThat(bore(seat, n, ForecastFiguresTest.WEAR.get(n - 1)).noForecast())
          .contains("too-few");
    }
  }

  @Test
  void aToolThatWasTakenOutEarlyTeachesNothing() {
    Seat seat = taught();
    for (int i = 0; i < 11; i++) {
      seat.bore(i + 1, um(20 - 2 * i));
    }
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    assertThat(((ForecastState) seat.state).lives().slopes().count()).isEqualTo(3);
  }

  @Test
  void anInsertThatWearsOtherwiseIsNotForecastWithThePastOfOthers() {
    Seat seat = Seat.of(rule(ONE, GIVEN));
    ForecastView last = bore(seat, 1, 12);
    for (int n = 2; n <= 6; n++) {
      last = bore(seat, n, 12 + n);
    }
    assertThat(last.noForecast()).contains("unlike-before");
    assertThat(last.partsLeft()).isEmpty();
    assertThat(last.prior()).isEmpty();
  }

  @Test
  void settingsThatMakeNoSenseAreRefused() {
    assertThatThrownBy(() -> rule(Optional.empty(), GIVEN)).hasMessageContaining("sigma");
    assertThatThrownBy(() -> rule(ONE, new SlopePrior.Learnt(3, 12)))
        .hasMessageContaining("fewer bores");
    assertThatThrownBy(() -> new SlopePrior.Learnt(2, 5))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new SlopePrior.Given(Length.ZERO, Length.ZERO, 40, 5))
        .isInstanceOf(IllegalArgumentException.class);
  }
}

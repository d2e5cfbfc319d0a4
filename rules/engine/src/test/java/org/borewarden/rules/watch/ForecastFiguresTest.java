package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.junit.jupiter.api.Test;

/** The figures behind the forecast of a wearing insert, computed independently. */
class ForecastFiguresTest {
  /** Micrometres above nominal, parts 1 to 30. */
  static final List<Integer> WEAR =
      List.of(
          21, 21, 22, 20, 17, 18, 17, 17, 14, 15, 14, 15, 13, 12, 9, 12, 7, 10, 7, 6, 5, 5, 5, 3, 4,
          0, 1, 0, 0, -3);

  private static final Optional<Length> ONE = Optional.of(Lengths.of("1 um"));
  private static final double UM = 1e6;

  private final Seat seat = Seat.of(Seat.forecast(ONE, 2));

  private static Length um(int deviation) {
    return Lengths.of(deviation + " um");
  }

  private WatchStep walk(int bores) {
    WatchStep last = seat.newSegment(SegmentCause.TOOL_CHANGED);
    for (int n = 1; n <= bores; n++) {
      last = seat.bore(n, um(WEAR.get(n - 1)));
    }
    return last;
  }

  private Outlook outlook(long horizon) {
    return Forecaster.outlook(
        (WatchRule.Forecast) seat.rule,
        (ForecastState) seat.state,
        seat.feature.nominal(),
        seat.acceptance.zone(),
        horizon);
  }

  private void assertFigures(
      int bores, double slope, double mean, double earliest, double latest, int partsLeft) {
    walk(bores);
    Outlook outlook = outlook(1000);
    Line.Crossing crossing = outlook.crossing().orElseThrow();
    assertThat(outlook.line().orElseThrow().slope() / UM).isCloseTo(slope, within(5e-5));
    assertThat(crossing.at()).isCloseTo(mean, within(5e-3));
    assertThat(crossing.earliest()).isCloseTo(earliest, within(5e-3));
    assertThat(crossing.latest()).isCloseTo(latest, within(5e-3));
    assertThat(outlook.partsLeft()).hasValue(partsLeft);
  }

  @Test
  void slopeMeanCrossingItsIntervalAndThePartsLeftAreMet() {
    // The slope at 12 is printed as -.7308: 14.098 and 25.574 print as 14.10 and 25.57.
    assertFigures(12, -0.7308, 18.5614, 14.0982, 25.5736, 15);
    assertFigures(23, -0.8014, 5.3847, 4.1156, 6.8486, 4);
    walk(17);
    assertThat(outlook(1000).partsLeft()).hasValue(9);
    walk(22);
    assertThat(outlook(1000).partsLeft()).hasValue(4);
    assertThat(outlook(1000).line().orElseThrow().slope() / UM).isCloseTo(-0.8103, within(5e-5));
  }

  /** S6 on every fourth part: n = 23 part 89 h 13, n = 24 part 93 h 9, n = 25 part 97 h 6. */
  @Test
  void onEveryFourthPartTheForecastCountsPartsAndNotBores() {
    Seat fourth = Seat.of(Seat.forecast(ONE, 1));
    int[] left = {13, 9, 6};
    for (int n = 1; n <= 25; n++) {
      ForecastView view = fourth.bore(4L * n - 3, um(WEAR.get(n - 1))).forecast().orElseThrow();
      if (n >= 23) {
        assertThat(view.partsLeft()).as("bore %d", n).hasValue(left[n - 23]);
      }
    }
  }

  @Test
  void theHoldComesSevenBoresBeforeTheFirstUndersize() {
    walk(22);
    WatchStep step = seat.bore(23, um(WEAR.get(22)));
    assertThat(step.findings()).hasSize(1);
    Finding finding = step.findings().get(0);
    assertThat(finding.action()).isEqualTo(Seat.HOLD);
    assertThat(finding.partsLeft()).hasValue(4);
    assertThat(finding.words())
        .isEqualTo(
            "4 parts until a bore may be undersize (p 0.95), -0.8014 um per part over 23 bores");
    assertThat(WEAR.get(29)).isNegative();
    assertThat(WEAR.subList(0, 29)).allMatch(deviation -> deviation >= 0);
  }

  @Test
  void theViewShowsNothingFartherAheadThanTheDataAreLong() {
    ForecastView early = walk(12).forecast().orElseThrow();
    assertThat(early.noForecast()).hasValue("beyond-the-data");
    assertThat(early.partsLeft()).isEmpty();
    assertThat(early.meanCrossing()).isEmpty();
    assertThat(early.side()).hasValue("undersize");
    ForecastView late = walk(23).forecast().orElseThrow();
    assertThat(late.noForecast()).isEmpty();
    assertThat(late.partsLeft()).hasValue(4);
    assertThat(late.meanCrossing().orElseThrow()).isCloseTo(5.38, within(0.005));
    assertThat(late.slope().orElseThrow()).isCloseTo(-0.8014e-6, within(5e-11));
    assertThat(late.sigma().orElseThrow()).isEqualTo(1e-6);
    assertThat(late.sigmaKind()).isEqualTo("given");
  }

  @Test
  void underTheMinimumOfBoresThereIsNoForecastHoweverSteep() {
    assertThat(walk(11).forecast().orElseThrow().noForecast()).hasValue("too-few");
    assertThat(walk(1).forecast().orElseThrow().slope()).isEmpty();
  }

  /** The residual figures at 17 and 23 bores were computed with another library. */
  @Test
  void whereSigmaIsNotGivenTheResidualsGiveItWithStudentsT() {
    Seat unknown = Seat.of(Seat.forecast(Optional.empty(), 1));
    WatchStep step = unknown.newSegment(SegmentCause.TOOL_CHANGED);
    for (int n = 1; n <= 23; n++) {
      step = unknown.bore(n, um(WEAR.get(n - 1)));
      if (n == 17) {
        ForecastView view = step.forecast().orElseThrow();
        assertThat(view.sigma().orElseThrow() * 1e6).isCloseTo(1.310340972438963, within(1e-9));
        assertThat(view.partsLeft()).hasValue(8);
      }
    }
    ForecastView view = step.forecast().orElseThrow();
    assertThat(view.sigmaKind()).isEqualTo("residual");
    assertThat(view.sigma().orElseThrow() * 1e6).isCloseTo(1.2088317637344592, within(1e-9));
    assertThat(view.partsLeft()).hasValue(3);
    assertThat(view.meanCrossingEarliest().orElseThrow()).isCloseTo(3.78661825, within(1e-6));
    assertThat(view.meanCrossingLatest().orElseThrow()).isCloseTo(7.30457429, within(1e-6));
  }

  @Test
  void equalBoresHaveNoSlope() {
    Seat unknown = Seat.of(Seat.forecast(Optional.empty(), 1));
    WatchStep step = unknown.newSegment(SegmentCause.TOOL_CHANGED);
    for (int n = 1; n <= 20; n++) {
      step = unknown.bore(n, um(2));
    }
    assertThat(step.forecast().orElseThrow().noForecast()).hasValue("no-slope");
    assertThat(step.findings()).isEmpty();
  }

  @Test
  void bothTiersShareOneKeyAndATierThatEndsClearsIt() {
    WatchStep alert = walk(18);
    WatchStep hold = walk(23);
    assertThat(alert.findings().get(0).action()).isEqualTo(Seat.ALERT);
    assertThat(hold.findings().get(0).key()).isEqualTo(alert.findings().get(0).key());
    WatchStep changed = seat.newSegment(SegmentCause.TOOL_CHANGED);
    assertThat(changed.cleared()).containsExactly("forecast/seat/wear");
    assertThat(seat.newSegment(SegmentCause.TOOL_CHANGED).cleared()).isEmpty();
  }

  @Test
  void anOffsetGivesANewLevelAndKeepsTheSlope() {
    walk(20);
    WatchStep offset = seat.newSegment(SegmentCause.OFFSET_ENTERED);
    assertThat(offset.cleared()).containsExactly("forecast/seat/wear");
    // Raised by 12 um: from here the same wear goes on at a new level.
    WatchStep step = seat.bore(21, um(WEAR.get(20) + 12));
    assertThat(step.findings()).isEmpty();
    ForecastView view = step.forecast().orElseThrow();
    assertThat(view.bores()).isEqualTo(21);
    assertThat(view.slope().orElseThrow()).isCloseTo(-0.79774436e-6, within(1e-14));
    assertThat(view.partsLeft()).hasValue(19);
    assertThat(seat.newSegment(SegmentCause.TOOL_CHANGED).next()).isEqualTo(ForecastState.NONE);
  }

  @Test
  void awayFromTheOnlyLimitThereIsNoForecast() {
    Length nominal = Lengths.of("62 mm");
    Seat upperOnly =
        new Seat(
            nominal,
            new Limits(Optional.empty(), Optional.of(Lengths.of("62.030 mm"))),
            Lengths.of("62.015 mm"),
            new DecisionRule.Simple(),
            Seat.forecast(ONE, 1));
    WatchStep step = upperOnly.newSegment(SegmentCause.GAP);
    for (int n = 1; n <= 30; n++) {
      step = upperOnly.bore(n, um(WEAR.get(n - 1)));
      assertThat(step.findings()).isEmpty();
    }
    assertThat(step.forecast().orElseThrow().noForecast()).hasValue("no-limit");
  }

  /** By arrival the first twelve, read backwards, would rise; by part number they fall. */
  @Test
  void boresThatComeInAnotherOrderArePutInTheirPlace() {
    for (int n = 12; n >= 1; n--) {
      assertThat(seat.bore(n, um(WEAR.get(n - 1))).counted()).isTrue();
    }
    Outlook backwards = outlook(1000);
    assertThat(backwards.line().orElseThrow().slope() / UM).isCloseTo(-0.7308, within(5e-5));
    assertThat(backwards.partsLeft()).hasValue(15);
  }

  @Test
  void aCounterThatBeganAnewBeginsANewSegment() {
    for (int n = 1; n <= 30; n++) {
      seat.bore(1000 + n, um(WEAR.get(n - 1)));
    }
    WatchStep step = seat.bore(1, um(15));
    assertThat(step.forecast().orElseThrow().bores()).isEqualTo(1);
    assertThat(step.cleared()).containsExactly("forecast/seat/wear");
  }

  @Test
  void aWithheldBoreAndTheSamePartMeasuredAgainChangeNothing() {
    walk(23);
    WatchState before = seat.state;
    WatchStep withheld = seat.withheld(24);
    assertThat(withheld.next()).isEqualTo(before);
    assertThat(withheld.counted()).isFalse();
    assertThat(withheld.findings()).isEmpty();
    assertThat(withheld.cleared()).isEmpty();
    assertThat(withheld.forecast().orElseThrow().partsLeft()).hasValue(4);
    assertThat(seat.bore(23, um(28)).next()).isEqualTo(before);
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.api.Test;

/** Where a watch's behaviour changes: first parts, late parts, limits met exactly. */
class EdgesTest {
  private static final WatchRule THREE = new WatchRule.OneSide("three", 3, Seat.ALERT);
  private final Seat run = Seat.of(THREE);
  private final Seat given = Seat.of(Seat.forecast(Optional.of(Lengths.of("1 um")), 1));
  private final Seat residual = Seat.of(Seat.forecast(Optional.empty(), 1));

  private static Length um(long deviation) {
    return new Length(deviation * 1_000_000);
  }

  @Test
  void theVeryFirstPartCountsWhateverItsNumber() {
    for (long part : new long[] {0, 1, 4_000_000_000L}) {
      assertThat(Seat.of(THREE).bore(part, um(16)).counted()).isTrue();
      assertThat(Seat.of(given.rule).bore(part, um(16)).counted()).isTrue();
    }
  }

  @Test
  void aRunLeavesOutAPartThatComesUpToAHundredPartsLateAndBeginsAnewBeyond() {
    run.bore(500, um(16));
    run.bore(501, um(16));
    assertThat(run.bore(401, um(16)).counted()).isFalse();
    assertThat(run.bore(502, um(16)).findings()).hasSize(1);
    WatchStep anew = run.bore(401, um(16));
    assertThat(anew.counted()).isTrue();
    assertThat(anew.cleared()).containsExactly("run/seat/three");
    run.bore(402, um(16));
    assertThat(run.bore(403, um(16)).findings()).hasSize(1);
  }

  @Test
  void aForecastPutsAPartInItsPlaceThatComesUpToAHundredPartsLateAndBeginsAnewBeyond() {
    given.bore(500, um(16));
    given.bore(501, um(16));
    assertThat(given.bore(401, um(16)).forecast().orElseThrow().bores()).isEqualTo(3);
    assertThat(given.bore(400, um(16)).forecast().orElseThrow().bores()).isEqualTo(1);
  }

  @Test
  void aRunSaysOnWhichSideItLies() {
    assertThat(wordsOfThree(16)).isEqualTo("3 bores in a row above the centre");
    assertThat(wordsOfThree(14)).isEqualTo("3 bores in a row below the centre");
  }

  private static String wordsOfThree(long deviation) {
    Seat seat = Seat.of(THREE);
    seat.bore(1, um(deviation));
    seat.bore(2, um(deviation));
    return seat.bore(3, um(deviation)).findings().get(0).words();
  }

  /** Bores exactly on a line: the bound is the line, and it meets 30 um at 10 parts, not at 11. */
  @Test
  void aBoundThatMeetsTheLimitExactlyHasReachedIt() {
    WatchStep step = residual.newSegment(SegmentCause.GAP);
    for (int n = 1; n <= 20; n++) {
      step = residual.bore(n, um(n));
    }
    assertThat(step.forecast().orElseThrow().partsLeft()).hasValue(10);
    assertThat(step.forecast().orElseThrow().side()).hasValue("oversize");
    assertThat(step.forecast().orElseThrow().meanCrossing()).hasValue(10);
    assertThat(step.findings()).hasSize(1);
    assertThat(step.findings().get(0).words())
        .isEqualTo(
            "10 parts until a bore may be oversize (p 0.95), +1.0000 um per part over 20 bores");
  }

  /** 12 bores from 1 to 12 are 11 parts long: 11 parts ahead are foretold, 12 are not. */
  @Test
  void theForecastEndsExactlyWhereTheDataAreLong() {
    assertThat(afterTwelve(7).partsLeft()).hasValue(11);
    assertThat(afterTwelve(6).partsLeft()).isEmpty();
    assertThat(afterTwelve(6).noForecast()).hasValue("beyond-the-data");
  }

  private static ForecastView afterTwelve(long offset) {
    Seat seat = Seat.of(Seat.forecast(Optional.empty(), 1));
    WatchStep step = seat.newSegment(SegmentCause.GAP);
    for (int n = 1; n <= 12; n++) {
      step = seat.bore(n, um(n + offset));
    }
    return step.forecast().orElseThrow();
  }

  /** Twice an offset: 11 + 3 parts of data, and the first bore after the second foretells 14. */
  @Test
  void theLengthOfTheDataAddsUpOverOffsets() {
    assertThat(afterTwoOffsets(16).partsLeft()).hasValue(14);
    assertThat(afterTwoOffsets(15).noForecast()).hasValue("beyond-the-data");
  }

  private static ForecastView afterTwoOffsets(long level) {
    Seat seat = Seat.of(Seat.forecast(Optional.empty(), 1));
    for (int n = 1; n <= 12; n++) {
      seat.bore(n, um(n));
    }
    seat.newSegment(SegmentCause.OFFSET_ENTERED);
    for (int n = 13; n <= 16; n++) {
      seat.bore(n, um(n - 10));
    }
    seat.newSegment(SegmentCause.OFFSET_ENTERED);
    return seat.bore(17, um(level)).forecast().orElseThrow();
  }

  @Test
  void aRisingSlopeThatIsNoMoreThanNoiseIsNone() {
    WatchStep step = given.newSegment(SegmentCause.GAP);
    for (int n = 1; n <= 12; n++) {
      step = given.bore(n, um(12 + n % 2 + n / 12));
    }
    assertThat(step.forecast().orElseThrow().noForecast()).hasValue("no-slope");
    assertThat(step.forecast().orElseThrow().side()).isEmpty();
  }

  @Test
  void aStateOfAnotherKindOfWatchIsAMistakeOfOurs() {
    assertThatIllegalArgumentException()
        .isThrownBy(
            () ->
                Watches.newSegment(
                    THREE, ForecastState.NONE, run.feature, SegmentCause.TOOL_CHANGED))
        .withMessageContaining("the state of watch three is that of another kind");
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Tool-offset advice and the proof of an offset: metrology.md 4.13. Aim 62.015 mm. */
class OffsetWatchTest {
  private static final int[] WEAR = {21, 21, 22, 20, 17, 18, 17, 17, 14, 15, 14, 15, 13, 12, 9, 12};

  private static WatchRule.ToolOffset rule(boolean onRadius, boolean reversed) {
    return new WatchRule.ToolOffset(
        "offset",
        Lengths.of("1 um"),
        onRadius,
        reversed,
        Optional.of(Lengths.of("1 um")),
        5,
        3,
        Seat.ALERT);
  }

  private static Seat worn(WatchRule.ToolOffset rule) {
    Seat seat = Seat.of(rule);
    for (int i = 0; i < WEAR.length; i++) {
      seat.bore(i + 1, new Length(WEAR[i] * 1_000_000L));
    }
    return seat;
  }

  private static Optional<OffsetView> view(WatchRule.ToolOffset rule, Seat seat) {
    return OffsetWatch.view(rule, (OffsetState) seat.state, seat.feature);
  }

  private static WatchStep offset(Seat seat, String asked) {
    WatchStep step =
        Watches.newSegment(
            seat.rule,
            seat.state,
            seat.feature,
            SegmentCause.OFFSET_ENTERED,
            Optional.of(Lengths.of(asked)));
    seat.state = step.next();
    return step;
  }

  /** In exact fractions: slope -.7456, mean 16.0625, level at part 16 10.4706, off -4.5294 um. */
  @Test
  void theAdviceIsTheLevelAtTheHeadOfTheLineAndNotTheMean() {
    WatchRule.ToolOffset rule = rule(false, false);
    OffsetView view = view(rule, worn(rule)).orElseThrow();
    assertThat(view.level() * 1e6).isCloseTo(10.4706, within(5e-4));
    assertThat(view.off() * 1e6).isCloseTo(-4.5294, within(5e-4));
    assertThat(view.gain()).isEqualTo(1);
    assertThat(view.diameter()).as("4.53 rounded toward a smaller bore").isEqualTo(4e-6);
    assertThat(view.entry()).isEqualTo(4e-6);
  }

  @Test
  void onRadiusAndWithTheOtherSignTheEntryDiffers() {
    WatchRule.ToolOffset rule = rule(true, true);
    OffsetView view = view(rule, worn(rule)).orElseThrow();
    assertThat(view.diameter()).isEqualTo(4e-6);
    assertThat(view.entry()).isEqualTo(-2e-6);
  }

  @Test
  void aBoreThatIsTooLargeIsTakenBackWithAStepMore() {
    WatchRule.ToolOffset rule = rule(false, false);
    Seat seat = Seat.of(rule);
    for (int i = 1; i <= 8; i++) {
      seat.bore(i, Lengths.of(i % 2 == 0 ? "20.2 um" : "20.0 um"));
    }
    assertThat(view(rule, seat).orElseThrow().diameter()).isEqualTo(-6e-6);
  }

  @Test
  void insideTheDeadBandNothingIsAdvised() {
    WatchRule.ToolOffset rule = rule(false, false);
    Seat seat = Seat.of(rule);
    for (int i = 1; i <= 8; i++) {
      seat.bore(i, Lengths.of(i % 2 == 0 ? "15.5 um" : "14 um"));
    }
    assertThat(view(rule, seat).orElseThrow().diameter()).isZero();
    assertThat(view(rule, Seat.of(rule))).isEmpty();
  }

  @Test
  void theGainFallsWithEachOffsetOfATool() {
    WatchRule.ToolOffset rule = rule(false, false);
    Seat seat = worn(rule);
    offset(seat, "0 um");
    seat.bore(17, Lengths.of("5 um"));
    OffsetView view = view(rule, seat).orElseThrow();
    assertThat(view.gain()).isEqualTo(0.5);
    assertThat(view.diameter()).isEqualTo(5e-6);
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    assertThat(seat.state).isEqualTo(OffsetState.NONE);
  }

  /** After +8 um on the line that goes on at -.72 um a part. */
  @ParameterizedTest
  @CsvSource({
    "18, 17, 17, ''",
    "10, 9, 9, not taken",
    "26, 25, 25, doubled",
    "2, 1, 1, wrong sign",
    "22, 21, 21, otherwise"
  })
  void theBoresAfterAnOffsetShowWhatBecameOfIt(int a, int b, int c, String words) {
    Seat seat = worn(rule(false, false));
    assertThat(offset(seat, "8 um").findings()).isEmpty();
    seat.bore(17, Lengths.of(a + " um"));
    assertThat(seat.bore(18, Lengths.of(b + " um")).findings()).isEmpty();
    WatchStep step = seat.bore(19, Lengths.of(c + " um"));
    assertThat(step.findings()).hasSize(words.isEmpty() ? 0 : 1);
    step.findings()
        .forEach(
            f -> {
              assertThat(f.key()).isEqualTo("offset/seat/offset");
              assertThat(f.words())
                  .startsWith("offset of +8.0 um shows as ")
                  .endsWith(": " + words);
            });
    assertThat(((OffsetState) seat.state).pending()).isEmpty();
    assertThat(seat.newSegment(SegmentCause.TOOL_CHANGED).cleared())
        .hasSize(words.isEmpty() ? 0 : 1);
  }

  @Test
  void anOffsetUnderTheScatterCannotBeTold() {
    assertThat(OffsetProof.of(2, 0, 0.6)).isEqualTo(OffsetProof.CANNOT_TELL);
    assertThat(OffsetProof.of(2.4, 0, 0.6)).isEqualTo(OffsetProof.NOT_TAKEN);
    assertThat(OffsetProof.CANNOT_TELL.words()).isEqualTo("cannot be told from these bores");
  }
}

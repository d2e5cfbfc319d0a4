package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.api.Test;

/** Capability over tool lives: metrology.md 4.12. */
class CapabilityWatchTest {
  private static final long SEED = 20_261_126;
  private static final WatchRule.Capability RULE =
      new WatchRule.Capability("capability", 0.95, OptionalInt.of(25));

  private final Seat seat = Seat.of(RULE);
  private int part;

  private Optional<CapabilityView> view() {
    return CapabilityWatch.view(RULE, (CapabilityState) seat.state, seat.feature);
  }

  private void bores(double... um) {
    for (double deviation : um) {
      seat.bore(++part, new Length(Math.round(deviation * 1e6)));
    }
  }

  private void life(Random random, double level, double slope, double sigma) {
    for (int i = 0; i < 25; i++) {
      bores(level + slope * i + sigma * random.nextGaussian());
    }
    seat.newSegment(SegmentCause.TOOL_CHANGED);
  }

  @Test
  void underTenBoresNothingIsSaid() {
    bores(15, 16, 14, 15, 16, 14, 15, 16, 14);
    assertThat(view()).isEmpty();
  }

  @Test
  void aLifeThatWasNotSeenFromItsBeginningIsPartial() {
    Random random = new Random(SEED);
    life(random, 15, 0, 1);
    assertThat(((CapabilityState) seat.state).lives()).isZero();
    life(random, 15, 0, 1);
    CapabilityView whole = view().orElseThrow();
    assertThat(whole.lives()).isEqualTo(1);
    assertThat(whole.partial()).isFalse();
    assertThat(whole.bores()).isEqualTo(25);
    bores(15, 16);
    assertThat(view().orElseThrow().bores()).as("a life under way does not count").isEqualTo(25);
  }

  /** Level process in the middle of 30 um, sigma 1: Cp and Cpk about 5, with intervals. */
  @Test
  void aLevelProcessHasAllFourIndices() {
    Random random = new Random(SEED);
    for (int i = 0; i < 9; i++) {
      life(random, 15, 0, 1);
    }
    CapabilityView view = view().orElseThrow();
    assertThat(view.lives()).isEqualTo(8);
    assertThat(view.drifts()).as("seed %d", SEED).isFalse();
    assertThat(view.cp().orElseThrow().value()).isCloseTo(5, within(0.6));
    assertThat(view.cp().orElseThrow().low().orElseThrow()).isLessThan(5);
    assertThat(view.cpk().orElseThrow().value()).isLessThan(view.cp().orElseThrow().value());
    assertThat(view.ppk()).isPresent();
    assertThat(view.roomAtStart()).isEmpty();
    assertThat(view.under()).isZero();
  }

  /** Wear of 0.8 um a part from 22 um down: no Cp, no interval, but the room at both ends. */
  @Test
  void aWearingToolHasPpAndTheRoomAtItsStartAndEnd() {
    Random random = new Random(SEED);
    for (int i = 0; i < 4; i++) {
      life(random, 22, -0.8, 1);
    }
    for (int i = 0; i < 25; i++) {
      bores(22 - 0.8 * i + random.nextGaussian());
    }
    CapabilityView view = view().orElseThrow();
    assertThat(view.drifts()).isTrue();
    assertThat(view.cp()).isEmpty();
    assertThat(view.cpk()).isEmpty();
    assertThat(view.ppk().orElseThrow().low()).isEmpty();
    // (30 - 22) / 3 and (22 - 0.8 * 24) / 3
    assertThat(view.roomAtStart().orElseThrow()).isCloseTo(2.67, within(0.5));
    assertThat(view.roomAtEnd().orElseThrow()).isCloseTo(0.93, within(0.4));
    assertThat(view.expectedUnder().orElseThrow()).isBetween(0.0, 0.1);
  }

  @Test
  void anOffsetIsOfTheSameLifeAndAGapEndsIt() {
    Random random = new Random(SEED);
    life(random, 15, 0, 1);
    bores(15, 16, 14, 15, 16);
    seat.newSegment(SegmentCause.OFFSET_ENTERED);
    bores(18, 19, 17, 18, 19, 18);
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    CapabilityView view = view().orElseThrow();
    assertThat(view.lives()).isEqualTo(1);
    assertThat(view.bores()).isEqualTo(11);
    seat.newSegment(SegmentCause.GAP);
    life(random, 15, 0, 1);
    assertThat(view().orElseThrow().lives()).as("a life with a gap is no whole one").isEqualTo(1);
    assertThat(List.of(seat.newSegment(SegmentCause.RULES_CHANGED).next()))
        .containsExactly(CapabilityState.NONE);
  }

  @Test
  void whatLiesBeyondALimitIsCounted() {
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    bores(15, 16, 14, 15, 31, 14, 15, -1, -2, 15, 16, 14);
    CapabilityView view = view().orElseThrow();
    assertThat(view.over()).isCloseTo(1 / 12.0, within(1e-12));
    assertThat(view.under()).isCloseTo(2 / 12.0, within(1e-12));
    assertThat(view.partial()).isTrue();
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Follow;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;

/** Capability of a form over tool lives: metrology.md 4.12, the quantile method. */
class FormWatchTest {
  private static final long SEED = Long.getLong("borewarden.seed", 20_261_127);
  private static final Length MOST = Lengths.of("8 um");
  private static final WatchRule.FormCapability RULE =
      new WatchRule.FormCapability("round", FormKind.OVALITY, 0.95);

  private final Seat seat = Seat.of(RULE);
  private final Feature feature = measured(seat.feature);
  private WatchState state = Watches.start(RULE);
  private int part;

  private static Feature measured(Feature of) {
    FormRules form =
        new FormRules(
            List.of(new FormLimit(FormKind.OVALITY, MOST)), Optional.empty(), 0.95, Seat.ALERT);
    Plan plan =
        new Plan(
            List.of(new Place("mid", 0, Optional.empty()), new Place("mid", 90, Optional.empty())),
            SizeRule.EVERY,
            Follow.MEAN,
            Duration.ofSeconds(60),
            Optional.of(form));
    return new Feature(
        of.id(),
        of.number(),
        of.part(),
        of.gauge(),
        of.input(),
        of.cell(),
        of.tool(),
        of.nominal(),
        of.limits(),
        of.unit(),
        of.rule(),
        of.assurance(),
        of.centre(),
        of.sampledEvery(),
        of.undersize(),
        of.oversize(),
        of.watches(),
        new Measuring(Optional.of(plan), Optional.empty()),
        of.streams());
  }

  private WatchStep bore(FormKind kind, Length ovality) {
    part++;
    Length size = feature.nominal().plus(Lengths.of("15 um"));
    Measured measured =
        new Measured(
            SizeRule.EVERY,
            Span.of(size),
            size,
            List.of(),
            List.of(new FormResult(kind, ovality, MOST, FormVerdict.WITHIN)),
            List.of());
    Bore bore =
        new Bore(
            "seat",
            part,
            size,
            Unit.MILLIMETRE,
            3,
            List.of((long) part),
            PartContext.NONE,
            Optional.of(measured),
            Optional.empty());
    WatchStep step =
        Watches.step(
            RULE, state, feature, seat.acceptance, bore, Judge.judge(seat.acceptance, size));
    state = step.next();
    return step;
  }

  private void bores(int count, Random random) {
    for (int i = 0; i < count; i++) {
      // the ovality that 0.8 um of scatter makes, at a step of 0.5 um
      double um = Math.hypot(0.8 * random.nextGaussian(), 0.8 * random.nextGaussian());
      bore(FormKind.OVALITY, new Length(500_000 * Math.round(2 * um)));
    }
  }

  private void segment(SegmentCause cause) {
    state = Watches.newSegment(RULE, state, feature, cause).next();
  }

  private FormView view() {
    return Watches.form(RULE, state, feature).orElseThrow();
  }

  @Test
  void underTenBoresNothingIsSaidAndABoreWithoutThatFormDoesNotCount() {
    bores(9, new Random(SEED));
    assertThat(Watches.form(RULE, state, feature)).isEmpty();
    assertThat(bore(FormKind.TAPER, MOST).counted()).isFalse();
    assertThat(Watches.form(RULE, state, feature)).isEmpty();
    WatchStep tenth = bore(FormKind.OVALITY, new Length(500_000));
    assertThat(tenth.counted()).isTrue();
    assertThat(tenth.findings()).isEmpty();
    assertThat(view().bores()).isEqualTo(10);
  }

  @Test
  void thePartMeasuredAgainIsLeftOut() {
    bore(FormKind.OVALITY, MOST);
    part--;
    assertThat(bore(FormKind.OVALITY, MOST).counted()).isFalse();
  }

  /** A bore on the limit is not over it; of n bores without one over, 1 - .05^(1/n) may be. */
  @Test
  void whatLiesOverTheLimitIsCountedAndWhatMayIsBounded() {
    for (int i = 0; i < 19; i++) {
      bore(FormKind.OVALITY, MOST);
    }
    assertThat(view().over()).isZero();
    assertThat(view().overAtMost()).isCloseTo(1 - Math.pow(0.05, 1 / 19.0), within(1e-9));
    bore(FormKind.OVALITY, MOST.plus(new Length(1)));
    assertThat(view().over()).isCloseTo(0.05, within(1e-12));
    assertThat(view().largest()).isCloseTo(8.000001e-6, within(1e-15));
  }

  /**
   * Rayleigh: X_p = s sqrt(-2 ln(1 - p)), so 0.942 and 2.908 um of s = 0.8 um, and (8 - 0.942) /
   * (2.908 - 0.942) = 3.59; under 740 bores there is no index, under 2218 no bound of it.
   */
  @Test
  void theIndexComesWithTheBoresThatBearItAndItsBoundWithMore() {
    Random random = new Random(SEED);
    bores(739, random);
    assertThat(view().ppk()).isEmpty();
    assertThat(view().upperQuantile()).isEmpty();
    assertThat(view().partial()).isTrue();
    bores(1, random);
    assertThat(view().ppk()).isPresent();
    assertThat(view().ppkLow()).isEmpty();
    bores(2217 - 740, random);
    assertThat(view().ppkLow()).isEmpty();
    bores(1, random);
    assertThat(view().ppkLow()).isPresent();
    bores(6000, random);
    FormView many = view();
    assertThat(many.median()).isCloseTo(0.942e-6, within(0.26e-6));
    assertThat(many.upperQuantile().orElseThrow())
        .as("seed %d", SEED)
        .isCloseTo(2.908e-6, within(0.76e-6));
    assertThat(many.ppk().orElseThrow()).isCloseTo(3.59, within(1.4));
    assertThat(many.ppkLow().orElseThrow()).isLessThanOrEqualTo(many.ppk().orElseThrow());
  }

  @Test
  void wholeLivesCountAndOneThatWasNotSeenFromItsBeginningOrHasAGapDoesNot() {
    Random random = new Random(SEED);
    bores(20, random);
    segment(SegmentCause.TOOL_CHANGED);
    assertThat(((FormState) state).lives()).isZero();
    bores(20, random);
    segment(SegmentCause.OFFSET_ENTERED);
    bores(5, random);
    segment(SegmentCause.TOOL_CHANGED);
    assertThat(view().lives()).isEqualTo(1);
    assertThat(view().partial()).isFalse();
    assertThat(view().bores()).isEqualTo(25);
    bores(20, random);
    segment(SegmentCause.GAP);
    bores(20, random);
    segment(SegmentCause.TOOL_CHANGED);
    assertThat(view().lives()).isEqualTo(1);
    bores(11, random);
    segment(SegmentCause.TOOL_CHANGED);
    assertThat(view().lives()).isEqualTo(2);
    assertThat(view().bores()).isEqualTo(36);
    segment(SegmentCause.RULES_CHANGED);
    assertThat(state).isEqualTo(FormState.NONE);
  }
}

package org.borewarden.rules.judge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Asked;
import org.borewarden.rules.part.Assurance;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.stat.GlobalRisk;
import org.borewarden.rules.uncertainty.Budget;
import org.borewarden.rules.uncertainty.Component;
import org.borewarden.rules.uncertainty.Coverage;
import org.borewarden.rules.uncertainty.Expansion;
import org.borewarden.rules.uncertainty.Uncertainty;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ReadinessTest {
  private static final String TODAY = "2026-11-26";
  private static final GaugeFacts NOTHING_SAID = new Facts().of();

  @Test
  void aSoundMeasurementHasNothingAgainstIt() {
    GaugeFacts facts = new Facts().with("0.5 um", "62.0013 mm", "1.5 um", "2026-11-26").of();
    assertThat(Readiness.of(bore(proven("1.5 um"), Assurance.NONE), facts, TODAY)).isEmpty();
  }

  @Test
  void withoutAnUncertaintyNothingCanBeProven() {
    assertThat(found(new DecisionRule.Simple())).containsExactly(new Unready.NoUncertainty());
    DecisionRule beside =
        new DecisionRule.Simple(Optional.of(Uncertainty.standard(Lengths.of("1.5 um"))));
    assertThat(found(beside)).isEmpty();
  }

  /** ASME B89.7.3.1 (from memory): 4:1 is T against the width 2U of the uncertainty interval. */
  @ParameterizedTest
  @CsvSource({"3.75 um,", "3.750001 um,3.99"})
  void theRatioComparesTheToleranceWithTheWidthOfTheInterval(String expanded, Double ratio) {
    DecisionRule guard = DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of(expanded));
    List<Unready> found = found(guard);
    assertThat(found).hasSize(ratio == null ? 0 : 1);
    if (ratio != null) {
      Unready.SmallRatio small = (Unready.SmallRatio) found.get(0);
      assertThat(small.found()).isLessThan(4).isCloseTo(4, within(1e-5));
      assertThat(small.asked()).isEqualByComparingTo("4");
    }
  }

  @Test
  void theRatioAndTheStepsThatAreAskedForCanBeSet() {
    DecisionRule guard = DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of("5 um"));
    Assurance three = asked(new Asked(new BigDecimal("3"), 5, Optional.empty()));
    GaugeFacts coarse = new Facts().with("6 um", "62 mm", "1 um", TODAY).of();
    assertThat(Readiness.of(bore(guard, three), coarse, TODAY)).isEmpty();
    assertThat(Readiness.of(bore(guard, Assurance.NONE), coarse, TODAY))
        .hasSize(2)
        .contains(new Unready.Coarse(Lengths.of("6 um"), Lengths.of("3 um")));
  }

  @Test
  void oneLimitHasNoRatioUnlessThereIsSomethingToCompareWith() {
    Limits above = new Limits(Optional.empty(), Optional.of(Lengths.of("62.030 mm")));
    Feature alone = bore(above, proven("1.5 um"), Assurance.NONE);
    assertThat(Readiness.of(alone, NOTHING_SAID, TODAY)).containsExactly(new Unready.NoRatio());
    assertThat(Readiness.ratio(alone)).isEmpty();
    Assurance compared =
        asked(new Asked(new BigDecimal("4"), 10, Optional.of(Lengths.of("20 um"))));
    Feature with = bore(above, proven("1.5 um"), compared);
    assertThat(Readiness.ratio(with).orElseThrow()).isCloseTo(20 / 6.0, within(1e-12));
    assertThat(Readiness.of(with, NOTHING_SAID, TODAY))
        .singleElement()
        .isInstanceOf(Unready.SmallRatio.class);
  }

  /** Metrology: a check that passes within E lets a bias up to E stand, u = E / sqrt(3). */
  @Test
  void anUncertaintyThatCannotHoldTheRingCheckIsRefused() {
    GaugeFacts facts = new Facts().with("1 um", "62 mm", "3 um", TODAY).of();
    Length least = new Length(1_732_051);
    assertThat(Readiness.of(bore(proven("1.732050 um"), Assurance.NONE), facts, TODAY))
        .containsExactly(new Unready.UnderRingCheck(least, false));
    assertThat(Readiness.of(bore(proven("1.732051 um"), Assurance.NONE), facts, TODAY)).isEmpty();
    List<Unready> under = Readiness.of(bore(proven("0.866 um"), Assurance.NONE), facts, TODAY);
    assertThat(under).containsExactly(new Unready.UnderRingCheck(least, true));
    assertThat(under.get(0).refuses()).isTrue();
  }

  @Test
  void aRuleThatAcceptsNothingIsRefused() {
    List<Unready> found = found(proven("7.7 um"));
    assertThat(found.get(0)).isInstanceOf(Unready.NothingAccepted.class);
    assertThat(found.get(0).refuses()).isTrue();
  }

  /** 62 mm of aluminium without a temperature: 62 mm 12.1 ppm/K 12 K / sqrt(3) is more than T/4. */
  @Test
  void aRuleThatNeedsItsTemperatureSaysSo() {
    Expansion expansion =
        new Expansion(
            23.6e-6,
            11.5e-6,
            0,
            0,
            18,
            36,
            0,
            Optional.of(new Expansion.Correction(0.5, 0.2, Duration.ofMinutes(10))));
    Assurance warm =
        new Assurance(
            Party.SUPPLIER, Optional.of(expansion), Optional.empty(), Asked.USUAL, Drawing.ISO);
    List<Unready> found = Readiness.of(bore(proven("3.5 um"), warm), NOTHING_SAID, TODAY);
    assertThat(found.get(0)).isInstanceOf(Unready.NothingAcceptedUncorrected.class);
    assertThat(found.get(0).refuses()).isFalse();
  }

  @Test
  void aRingFarFromTheSizeIsTold() {
    GaugeFacts near = new Facts().with("1 um", "63 mm", "1 um", TODAY).of();
    assertThat(Readiness.of(bore(proven("1.5 um"), Assurance.NONE), near, TODAY)).isEmpty();
    GaugeFacts far = new Facts().with("1 um", "63.000000001 mm", "1 um", TODAY).of();
    assertThat(Readiness.of(bore(proven("1.5 um"), Assurance.NONE), far, TODAY))
        .singleElement()
        .isEqualTo(new Unready.RingFar(new Length(1_000_000_001L), Double.NaN));
    GaugeFacts range =
        new Facts().with("1 um", "66 mm", "1 um", TODAY).reads("50 mm", "80 mm").of();
    assertThat(Readiness.of(bore(proven("1.5 um"), Assurance.NONE), range, TODAY))
        .singleElement()
        .isEqualTo(new Unready.RingFar(Lengths.of("4 mm"), 4 / 30.0));
  }

  @Test
  void aCalibrationCountsOnItsLastDayAndNotOnTheNext() {
    GaugeFacts facts = new Facts().with("1 um", "62 mm", "1 um", TODAY).of();
    Feature feature = bore(proven("1.5 um"), Assurance.NONE);
    assertThat(Readiness.of(feature, facts, TODAY)).isEmpty();
    assertThat(Readiness.of(feature, facts, "2026-11-27"))
        .containsExactly(
            new Unready.Overdue("gauge bore-1", TODAY), new Unready.Overdue("ring R62", TODAY));
  }

  @Test
  void fewReadingsMakeTheUncertaintyUncertain() {
    Budget budget = new Budget(List.of(Component.repeatability("s", Lengths.of("0.6 um"), 5, 1)));
    DecisionRule rule = new DecisionRule.Proven(0.95, Uncertainty.of(budget, Coverage.USUAL));
    assertThat(found(rule)).containsExactly(new Unready.FewDegrees(4));
  }

  /**
   * Metrology: 62.032 against 62.030, u 1.5 um: P is 0.09, and 0.9997 where the process was seen at
   * 62.015 with 2 um. JCGM 106:2012 (from memory) has the formula.
   */
  @Test
  void aHealthyPastSpeaksForABadBoreAndTurnsNoVerdict() {
    Feature feature = bore(proven("1.5 um"), Assurance.NONE);
    Length value = Lengths.of("62.032 mm");
    Judgement judged = Judge.judge(feature.limits(), feature.rule(), value);
    assertThat(judged.conformity().orElseThrow()).isCloseTo(0.0912, within(5e-5));
    Prior prior = new Prior(Lengths.of("62.015 mm"), Lengths.of("2 um"));
    assertThat(Conformity.withPrior(feature.limits(), value, Lengths.of("1.5 um"), prior))
        .isCloseTo(0.9997, within(5e-5));
    assertThat(judged.verdict()).isEqualTo(Verdict.UNDECIDED_HIGH);
  }

  @Test
  void theRisksOfAFeatureAreThoseOfItsZone() {
    Prior prior = new Prior(Lengths.of("62.020 mm"), Lengths.of("4 um"));
    Assurance known =
        new Assurance(
            Party.SUPPLIER, Optional.empty(), Optional.of(prior), Asked.USUAL, Drawing.ISO);
    GlobalRisk guarded = Risks.of(bore(proven("1.5 um"), known)).orElseThrow();
    double g = 2.467281;
    GlobalRisk expected = GlobalRisk.of(20, 4, 1.5, 0, 30, g, 30 - g);
    assertThat(guarded.consumer()).isCloseTo(expected.consumer(), within(1e-9));
    assertThat(guarded.producer()).isCloseTo(expected.producer(), within(1e-9));
    assertThat(Risks.of(bore(proven("1.5 um"), Assurance.NONE))).isEmpty();
    assertThat(Risks.of(bore(new DecisionRule.Simple(), known))).isEmpty();
    GlobalRisk none = Risks.of(bore(proven("7.7 um"), known)).orElseThrow();
    assertThat(none.accepted()).isZero();
  }

  private static List<Unready> found(DecisionRule rule) {
    return Readiness.of(bore(rule, Assurance.NONE), NOTHING_SAID, TODAY);
  }

  private static DecisionRule proven(String u) {
    return new DecisionRule.Proven(0.95, Lengths.of(u));
  }

  private static Assurance asked(Asked asked) {
    return new Assurance(Party.SUPPLIER, Optional.empty(), Optional.empty(), asked, Drawing.ISO);
  }

  private static Feature bore(DecisionRule rule, Assurance assurance) {
    return bore(
        new Limits(Optional.of(Lengths.of("62 mm")), Optional.of(Lengths.of("62.030 mm"))),
        rule,
        assurance);
  }

  private static Feature bore(Limits limits, DecisionRule rule, Assurance assurance) {
    Action note = new Action(Action.Level.NOTE, StopKind.END_OF_PART, Optional.empty());
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, note);
    return new Feature(
        "seat",
        1,
        "housing",
        "bore-1",
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Lengths.of("62 mm"),
        limits,
        Unit.MILLIMETRE,
        rule,
        assurance,
        Optional.empty(),
        1,
        out,
        out,
        List.of(),
        Measuring.SINGLE);
  }

  /** What is said of gauge and ring. */
  private static final class Facts {
    private Optional<Length> resolution = Optional.empty();
    private Optional<Length> from = Optional.empty();
    private Optional<Length> to = Optional.empty();
    private Optional<String> due = Optional.empty();
    private Optional<Length> ring = Optional.empty();
    private Optional<Length> errorLimit = Optional.empty();

    Facts with(String step, String ringSize, String error, String until) {
      resolution = Optional.of(Lengths.of(step));
      ring = Optional.of(Lengths.of(ringSize));
      errorLimit = Optional.of(Lengths.of(error));
      due = Optional.of(until);
      return this;
    }

    Facts reads(String least, String most) {
      from = Optional.of(Lengths.of(least));
      to = Optional.of(Lengths.of(most));
      return this;
    }

    GaugeFacts of() {
      return new GaugeFacts(
          "bore-1", resolution, from, to, due, ring.map(r -> "R62"), ring, due, errorLimit);
    }
  }
}

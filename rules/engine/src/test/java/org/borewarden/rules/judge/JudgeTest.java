package org.borewarden.rules.judge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.Resource;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.PrintedPair;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JudgeTest {
  private static final DecisionRule SIMPLE = new DecisionRule.Simple();

  @Test
  void theSameReadingsUnderThreeRulesGiveTheVerdictsOfTheTable() {
    Limits limits = limits("48.000 mm", "48.025 mm");
    DecisionRule proven = new DecisionRule.Proven(0.95, Lengths.of("1.5 um"));
    DecisionRule guard = DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of("3 um"));
    List<String> lines = Resource.lines(getClass(), "three-rules.txt");
    List<String> rows = lines.subList(lines.indexOf("----") + 1, lines.size());
    assertThat(rows).hasSize(10);
    for (String row : rows) {
      // Columns are two blanks apart or more.
      String[] cell = row.split("\\s{2,}|(?<=side) ", -1);
      Length value = Lengths.of(cell[0] + " mm");
      assertThat(Judge.judge(limits, SIMPLE, value).verdict().key()).as(row).isEqualTo(cell[1]);
      Judgement judged = Judge.judge(limits, proven, value);
      assertThat(words(judged)).as(row).isEqualTo(cell[2]);
      assertThat(Judge.judge(limits, guard, value).verdict().key()).as(row).isEqualTo(cell[3]);
      double p = Double.parseDouble(cell[4]);
      assertThat(judged.conformity().orElseThrow()).as(row).isCloseTo(p, within(5e-5));
      assertThat(Judge.judge(limits, guard, value).conformity()).isEqualTo(judged.conformity());
    }
  }

  private static String words(Judgement judged) {
    String verdict = judged.verdict().key();
    return !verdict.startsWith("undecided")
        ? verdict
        : verdict + (judged.inside() ? " inside" : " outside");
  }

  @Test
  void theProvenGuardIsOnePointSixFourFiveUWhereTheToleranceIsLarge() {
    Acceptance acceptance =
        Acceptance.of(
            limits("48.000 mm", "48.025 mm"), new DecisionRule.Proven(0.95, Lengths.of("1.5 um")));
    assertThat(acceptance.zone().lower().orElseThrow().minus(Lengths.of("48 mm")).picometres())
        .isEqualTo(2_467_281);
    assertThat(Lengths.of("48.025 mm").minus(acceptance.zone().upper().orElseThrow()).picometres())
        .isEqualTo(2_467_281);
  }

  @Test
  void theProvenGuardGrowsToOnePointEightUAtAToleranceOfFourU() {
    Acceptance acceptance =
        Acceptance.of(
            limits("6.000 mm", "6.004 mm"), new DecisionRule.Proven(0.95, Lengths.of("1 um")));
    double guard = acceptance.zone().lower().orElseThrow().minus(Lengths.of("6 mm")).metres();
    assertThat(guard / 1e-6).isCloseTo(1.80, within(0.005));
    Length edge = acceptance.zone().lower().orElseThrow();
    assertThat(acceptance.statedConformity(edge).orElseThrow()).isGreaterThanOrEqualTo(0.95);
    assertThat(acceptance.statedConformity(edge.minus(new Length(2))).orElseThrow())
        .isLessThan(0.95);
    assertThat(Readiness.check(acceptance)).isEmpty();
  }

  @Test
  void aToleranceOfLessThanThreePointNineTwoUAcceptsNoReading() {
    Acceptance acceptance =
        Acceptance.of(
            limits("6.000 mm", "6.005 mm"), new DecisionRule.Proven(0.95, Lengths.of("1.4 um")));
    Readiness.Refusal refusal = Readiness.check(acceptance).orElseThrow();
    assertThat(refusal.words())
        .isEqualTo(
            "no reading can be accepted: T/u = 3.571, at best a conformity of 0.9259 can be"
                + " proven, asked for is 0.95");
    assertThat(refusal.bestProbability()).isCloseTo(0.9259, within(5e-5));
    assertThat(verdict(acceptance, "6.0025 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(verdict(acceptance, "6.002 mm")).isEqualTo(Verdict.UNDECIDED_LOW);
    assertThat(verdict(acceptance, "6.008 mm")).isEqualTo(Verdict.OVERSIZE);
    assertThat(acceptance.zone().admitsNone()).isTrue();
    assertThat(Judge.judge(acceptance, Lengths.of("6.0025 mm")).cautions())
        .containsExactly("no-reading-can-be-accepted");
  }

  @ParameterizedTest
  @CsvSource({"3.919,false", "3.921,true"})
  void theEdgeOfReadinessIsWhereTheMiddleJustReachesNinetyFivePercent(
      BigDecimal ratio, boolean ready) {
    Length upper = new Length(6_000_000_000L + ratio.movePointRight(6).longValueExact());
    Acceptance acceptance =
        Acceptance.of(
            new Limits(Optional.of(Lengths.of("6 mm")), Optional.of(upper)),
            new DecisionRule.Proven(0.95, Lengths.of("1 um")));
    assertThat(Readiness.check(acceptance).isEmpty()).isEqualTo(ready);
  }

  @Test
  void guardBandsThatMeetInTheMiddleLeaveExactlyTheMiddle() {
    Acceptance meeting =
        Acceptance.of(
            limits("6.000 mm", "6.006 mm"),
            DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of("3 um")));
    assertThat(verdict(meeting, "6.003 mm")).isEqualTo(Verdict.WITHIN);
    assertThat(verdict(meeting, "6.002 mm")).isEqualTo(Verdict.UNDECIDED_LOW);
    assertThat(verdict(meeting, "6.004 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(meeting.zone().admitsNone()).isFalse();
    assertThat(meeting.zone().lower()).isEqualTo(meeting.zone().upper());
    Acceptance crossing =
        Acceptance.of(
            limits("6.000 mm", "6.006 mm"),
            DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of("3.001 um")));
    assertThat(verdict(crossing, "6.003 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(Readiness.check(crossing).orElseThrow().words())
        .isEqualTo(
            "no reading can be accepted: T/u = 3.999, the guard bands leave nothing between the"
                + " limits");
  }

  @Test
  void aGuardBandIsRoundedUpToThePicometre() {
    DecisionRule.Guard guard =
        DecisionRule.Guard.of(new BigDecimal("0.8333333"), new BigDecimal("0"), new Length(3));
    assertThat(guard.lower()).isEqualTo(new Length(3));
    assertThat(guard.upper()).isEqualTo(Length.ZERO);
    assertThat(DecisionRule.Guard.of(BigDecimal.ONE, new Length(3)).upper())
        .isEqualTo(new Length(3));
  }

  @Test
  void guardBandsMayDifferPerLimit() {
    Acceptance acceptance =
        Acceptance.of(
            limits("62.000 mm", "62.030 mm"),
            DecisionRule.Guard.of(BigDecimal.ZERO, BigDecimal.ONE, Lengths.of("4 um")));
    assertThat(verdict(acceptance, "62.000 mm")).isEqualTo(Verdict.WITHIN);
    assertThat(verdict(acceptance, "61.999 mm")).isEqualTo(Verdict.UNDERSIZE);
    assertThat(verdict(acceptance, "62.027 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(verdict(acceptance, "62.034 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(verdict(acceptance, "62.0341 mm")).isEqualTo(Verdict.OVERSIZE);
  }

  /** A value exactly at a threshold, and one picometre to either side of it. */
  @Test
  void everyThresholdIsExactToThePicometre() {
    Length one = new Length(1);
    Limits limits = limits("62.000 mm", "62.030 mm");
    Length lower = limits.lower().orElseThrow();
    Length upper = limits.upper().orElseThrow();
    assertThat(Judge.judge(limits, SIMPLE, lower).verdict()).isEqualTo(Verdict.WITHIN);
    assertThat(Judge.judge(limits, SIMPLE, lower.minus(one)).verdict())
        .isEqualTo(Verdict.UNDERSIZE);
    assertThat(Judge.judge(limits, SIMPLE, upper).verdict()).isEqualTo(Verdict.WITHIN);
    assertThat(Judge.judge(limits, SIMPLE, upper.plus(one)).verdict()).isEqualTo(Verdict.OVERSIZE);
    Length band = Lengths.of("2 um");
    DecisionRule guard = DecisionRule.Guard.of(BigDecimal.ONE, band);
    assertThat(Judge.judge(limits, guard, lower.plus(band)).verdict()).isEqualTo(Verdict.WITHIN);
    assertThat(Judge.judge(limits, guard, lower.plus(band).minus(one)).verdict())
        .isEqualTo(Verdict.UNDECIDED_LOW);
    assertThat(Judge.judge(limits, guard, lower.minus(band)).verdict())
        .isEqualTo(Verdict.UNDECIDED_LOW);
    assertThat(Judge.judge(limits, guard, lower.minus(band).minus(one)).verdict())
        .isEqualTo(Verdict.UNDERSIZE);
    assertThat(Judge.judge(limits, guard, upper.plus(band)).verdict())
        .isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(Judge.judge(limits, guard, upper.plus(band).plus(one)).verdict())
        .isEqualTo(Verdict.OVERSIZE);
  }

  @Test
  void oneLimitAloneIsJudgedOneSided() {
    Limits limits = new Limits(Optional.empty(), Optional.of(Lengths.of("62.030 mm")));
    Acceptance acceptance =
        Acceptance.of(limits, new DecisionRule.Proven(0.95, Lengths.of("1 um")));
    assertThat(verdict(acceptance, "1 mm")).isEqualTo(Verdict.WITHIN);
    assertThat(verdict(acceptance, "62.0283 mm")).isEqualTo(Verdict.WITHIN);
    assertThat(verdict(acceptance, "62.0284 mm")).isEqualTo(Verdict.UNDECIDED_HIGH);
    assertThat(verdict(acceptance, "62.0317 mm")).isEqualTo(Verdict.OVERSIZE);
    assertThat(acceptance.zone().lower()).isEmpty();
    assertThat(acceptance.zone().admitsNone()).isFalse();
  }

  /** Common practice, no source. */
  @ParameterizedTest
  @CsvSource({
    "0.8746 in,undersize",
    "0.8750 in,within",
    "0.8757 in,within",
    "0.8762 in,within",
    "0.87621 in,oversize",
    "0.8767 in,oversize"
  })
  void anInchHoleIsJudgedInInches(String value, String verdict) {
    Judgement judged = Judge.judge(limits("0.8750 in", "0.8762 in"), SIMPLE, Lengths.of(value));
    assertThat(judged.verdict().key()).isEqualTo(verdict);
    assertThat(judged.cautions()).containsExactly("no-uncertainty-stated");
    assertThat(judged.conformity()).isEmpty();
  }

  @Test
  void anInchReadingJustOverItsLimitShowsInMillimetresThatItIsOver() {
    Limits limits = limits("0.8750 in", "0.87628 in");
    Length value = Lengths.of("0.8763 in");
    assertThat(Judge.judge(limits, SIMPLE, value).verdict()).isEqualTo(Verdict.OVERSIZE);
    int decimals = LengthText.decimalsIn(Unit.INCH, 4, Unit.MILLIMETRE);
    assertThat(
            LengthText.printApart(value, limits.upper().orElseThrow(), Unit.MILLIMETRE, decimals))
        .isEqualTo(new PrintedPair("22.2580", "22.2575", 4));
  }

  /** Three-state verdicts of a 25 H7, computed by others beside the standards' text. */
  @Test
  void theReferenceTableOfA25H7IsMet() {
    List<String> rows = Resource.lines(getClass(), "bore_25H7_decisions.csv");
    Limits limits = limits("25 mm", "25.021 mm");
    for (String row : rows.subList(1, rows.size())) {
      String[] cell = row.split(",", -1);
      Length value = Lengths.of(cell[0] + " mm");
      Judgement guarded =
          Judge.judge(
              limits, DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of(cell[1] + " mm")), value);
      assertThat(guarded.conformity().orElseThrow())
          .as(row)
          .isCloseTo(Double.parseDouble(cell[2]), within(1e-9));
      assertThat(outcome(guarded)).as(row).isEqualTo(cell[3]);
      assertThat(outcome(Judge.judge(limits, SIMPLE, value))).as(row).isEqualTo(cell[4]);
    }
  }

  /**
   * The guard bands of ILAC-G8:2019 (from memory) and the risk that each lets stand for a size
   * exactly at its acceptance limit: under 1 ppm, 0.16 %, 2.5 %, 5 % and 50 %.
   */
  @ParameterizedTest
  @CsvSource({
    "3,9.865876450376946e-10,1e-6",
    "1.5,0.0013498980316300933,0.0016",
    "1,0.022750131948179195,0.025",
    "0.83,0.04845722626672282,0.05",
    "0,0.5,0.5"
  })
  void eachGuardBandLetsItsPublishedRiskStand(BigDecimal ratio, double risk, double published) {
    Acceptance acceptance =
        Acceptance.of(
            limits("62.000 mm", "62.030 mm"), DecisionRule.Guard.of(ratio, Lengths.of("2 um")));
    Length edge = acceptance.zone().upper().orElseThrow();
    Judgement judged = Judge.judge(acceptance, edge);
    assertThat(judged.verdict()).isEqualTo(Verdict.WITHIN);
    double out = 1 - judged.conformity().orElseThrow();
    assertThat(out).isCloseTo(risk, within(1e-15 + 1e-6 * risk)).isLessThanOrEqualTo(published);
  }

  private static String outcome(Judgement judged) {
    return judged.verdict() == Verdict.WITHIN
        ? "pass"
        : judged.verdict().isOut() ? "fail" : "uncertain";
  }

  /** Worked examples of JCGM 106:2012, inputs and figures from memory. */
  @Test
  void theProbabilityOfConformityMeetsTheWorkedExamples() {
    Limits upperOnly = new Limits(Optional.empty(), Optional.of(new Length(-5_400)));
    assertThat(Conformity.probability(upperOnly, -5_470, 50))
        .isCloseTo(0.9192433407662273, within(1e-12));
    Limits both = new Limits(Optional.of(new Length(125)), Optional.of(new Length(163)));
    assertThat(Conformity.probability(both, 136, 18)).isCloseTo(0.6626297864953079, within(1e-12));
  }

  @Test
  void farOutOfLimitTheProbabilityKeepsItsDigits() {
    Limits limits = limits("62.000 mm", "62.030 mm");
    double p = Conformity.probability(limits, Lengths.of("62.036 mm").picometres(), 1e6);
    assertThat(p).isCloseTo(9.865876450376946e-10, within(1e-20));
    assertThat(Conformity.probability(limits, Lengths.of("61.994 mm").picometres(), 1e6))
        .isCloseTo(p, within(1e-20));
  }

  /**
   * One u of tolerance, the value half a u outside: Phi(1.5) - Phi(0.5) = 0.24173 to either side.
   */
  @Test
  void outsideANarrowToleranceTheFarLimitCountsToo() {
    Limits narrow = new Limits(Optional.of(new Length(100)), Optional.of(new Length(200)));
    assertThat(Conformity.probability(narrow, 50, 100)).isCloseTo(0.2417303375, within(1e-9));
    assertThat(Conformity.probability(narrow, 250, 100)).isCloseTo(0.2417303375, within(1e-9));
  }

  @Test
  void acceptancesAreEqualWhenLimitsAndRuleAre() {
    Limits limits = limits("62.000 mm", "62.030 mm");
    Acceptance one = Acceptance.of(limits, SIMPLE);
    DecisionRule proven = new DecisionRule.Proven(0.95, Lengths.of("1 um"));
    assertThat(one).isEqualTo(Acceptance.of(limits, new DecisionRule.Simple()));
    assertThat(one).hasSameHashCodeAs(Acceptance.of(limits, new DecisionRule.Simple()));
    assertThat(one).isNotEqualTo(Acceptance.of(limits, proven));
    assertThat(one).isNotEqualTo(Acceptance.of(limits("62.000 mm", "62.031 mm"), SIMPLE));
    assertThat(one).hasToString("Acceptance[" + limits + ", " + SIMPLE + ", " + one.zone() + "]");
  }

  private static Verdict verdict(Acceptance acceptance, String value) {
    return Judge.judge(acceptance, Lengths.of(value)).verdict();
  }

  private static Limits limits(String lower, String upper) {
    return new Limits(Optional.of(Lengths.of(lower)), Optional.of(Lengths.of(upper)));
  }
}

package org.borewarden.rules.gauge;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.gauge.Attribution.Answer;
import org.borewarden.rules.gauge.Attribution.Shift;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.junit.jupiter.api.Test;

class AttributionTest {
  /** Scenario S12: u_b 0.55, u_r 0.544 (three readings before and after), k 3. Invented data. */
  @Test
  void theFourAnswersOfS12() {
    assertThat(s12(5.8, 5.2).answer()).isEqualTo(Answer.GAUGE);
    assertThat(s12(5.8, 0.3).answer()).isEqualTo(Answer.PROCESS);
    assertThat(s12(5.8, 2.9).answer()).isEqualTo(Answer.BOTH);
    Attribution unknown = s12(2.2, 0.7);
    assertThat(unknown.answer()).isEqualTo(Answer.CANNOT_TELL);
    // The check before cannot be repeated: with u_b 0.55 no number of new readings decides.
    assertThat(unknown.readingsToDecide()).isEmpty();
  }

  /**
   * d_r 1.4: 3 s sqrt(1/3 + 1/n) falls under 1.4 where 1/n < 0.49121 - 0.33333, so from n = 7 on.
   */
  @Test
  void itSaysHowManyReadingsWouldHaveDecided() {
    Attribution unknown = s12(2.2, 1.4);
    assertThat(unknown.answer()).isEqualTo(Answer.CANNOT_TELL);
    assertThat(unknown.readingsToDecide()).hasValue(7);
    assertThat(s12(5.8, 5.2).readingsToDecide()).isEmpty();
  }

  private static Attribution s12(double bores, double ring) {
    return Attribution.of(new Shift(bores, 0.55), new Shift(ring, 0.544), 0.6658, 3);
  }

  @Test
  void theShiftOfTheBoresIsThatOfEachFeatureAgainstItself() {
    List<LoggedBore> before = bores("a", 0, 1, 2, 1);
    List<LoggedBore> after = bores("a", 5, 6, 7, 6);
    Shift shift = BoreShift.of(before, after).orElseThrow();
    assertThat(shift.size()).isEqualTo(5e6);
    // Pooled s^2 = (2 + 2)/6 um^2, two means of four: s sqrt(1/4 + 1/4).
    assertThat(shift.uncertainty()).isCloseTo(Math.sqrt(4.0 / 6 / 2) * 1e6, offset());
    // Another feature at another level mixes nothing.
    List<LoggedBore> both = new ArrayList<>(before);
    both.addAll(bores("b", 100, 101, 102, 101));
    List<LoggedBore> later = new ArrayList<>(after);
    later.addAll(bores("b", 105, 106, 107, 106));
    assertThat(BoreShift.of(both, later).orElseThrow().size()).isEqualTo(5e6);
  }

  private static org.assertj.core.data.Offset<Double> offset() {
    return org.assertj.core.api.Assertions.within(1.0);
  }

  @Test
  void withTooFewBoresOrAToolChangeBetweenThereIsNoShift() {
    List<LoggedBore> four = bores("a", 0, 1, 2, 1);
    assertThat(BoreShift.of(four, four)).isPresent();
    assertThat(BoreShift.of(four.subList(0, 2), four)).isEmpty();
    assertThat(BoreShift.of(four, four.subList(0, 2))).isEmpty();
    assertThat(BoreShift.of(four, bores("b", 1, 2, 3))).isEmpty();
    List<LoggedBore> changed = new ArrayList<>(four);
    changed.add(bore("a", 3, true));
    assertThat(BoreShift.of(four, changed)).isEmpty();
  }

  @Test
  void onlyTheLastTwentyOfEachFeatureAreLookedAt() {
    List<LoggedBore> many = new ArrayList<>();
    for (int i = 0; i < 50; i++) {
      many.add(bore(i % 2 == 0 ? "a" : "b", i, false));
    }
    assertThat(BoreShift.last(many)).isEqualTo(many.subList(10, 50));
  }

  private static List<LoggedBore> bores(String feature, long... um) {
    List<LoggedBore> bores = new ArrayList<>();
    for (long value : um) {
      bores.add(bore(feature, value, false));
    }
    return bores;
  }

  static LoggedBore bore(String feature, long um, boolean newSegment) {
    Length nominal = new Length(62_000_000_000L);
    Limits limits = new Limits(Optional.of(nominal), Optional.of(new Length(62_030_000_000L)));
    Length value = nominal.plus(new Length(um * 1_000_000));
    return new LoggedBore(
        um,
        Instant.EPOCH,
        feature,
        um,
        Optional.empty(),
        Span.of(value),
        nominal,
        Acceptance.of(limits, new DecisionRule.Simple()),
        um < 0 ? Verdict.UNDERSIZE : um > 30 ? Verdict.OVERSIZE : Verdict.WITHIN,
        newSegment);
  }
}

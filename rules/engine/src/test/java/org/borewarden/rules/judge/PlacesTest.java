package org.borewarden.rules.judge;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.Test;

class PlacesTest {
  private static final Limits LIMITS = new Limits(Optional.of(um(0)), Optional.of(um(30)));
  private static final Acceptance SIMPLE = Acceptance.of(LIMITS, new DecisionRule.Simple());
  private static final Acceptance PROVEN =
      Acceptance.of(LIMITS, new DecisionRule.Proven(0.95, new Length(1_500_000)));

  @Test
  void theScrapSideNamesAVerdictOnBothSides() {
    assertThat(said(SIMPLE, -2, 33)).isEqualTo("oversize and undersize, out");
    assertThat(said(SIMPLE, -2, 3)).isEqualTo("undersize, out");
    assertThat(said(SIMPLE, 12, 33)).isEqualTo("oversize, out");
    assertThat(said(SIMPLE, 0, 30)).isEqualTo("within, inside");
  }

  @Test
  void ofTwoDoubtsTheMoreProbableNamesTheVerdictAndATieIsHigh() {
    assertThat(said(PROVEN, 1, 28)).isEqualTo("undecided-low and undecided-high, inside");
    assertThat(said(PROVEN, 2, 29)).isEqualTo("undecided-high and undecided-low, inside");
    assertThat(said(PROVEN, 1, 29)).isEqualTo("undecided-high and undecided-low, inside");
    assertThat(said(PROVEN, 1, 15)).isEqualTo("undecided-low, inside");
    // What is proven out counts more than what is only doubted.
    assertThat(said(PROVEN, -9, 29)).isEqualTo("undersize, out");
    assertThat(said(PROVEN, 15, 39)).isEqualTo("oversize, out");
  }

  @Test
  void theConformityIsThatOfTheWorsePlace() {
    double worse = Judge.judge(PROVEN, um(1)).conformity().orElseThrow();
    assertThat(Places.judge(PROVEN, new Span(um(1), um(20))).conformity()).hasValue(worse);
  }

  /**
   * u = sqrt(2) 0.6 um = 0.8486 um; the one-sided 95 % point is 1.6449 (normal table): 1.396 um.
   */
  @Test
  void formHasItsOwnUncertaintyAndOneSide() {
    FormRules rules = form(Optional.of(new Length(600_000)));
    assertThat(form(rules, 8_000_000 - 1_400_000)).isEqualTo(FormVerdict.WITHIN);
    assertThat(form(rules, 8_000_000 - 1_390_000)).isEqualTo(FormVerdict.UNDECIDED);
    assertThat(form(rules, 8_000_000 + 1_390_000)).isEqualTo(FormVerdict.UNDECIDED);
    assertThat(form(rules, 8_000_000 + 1_400_000)).isEqualTo(FormVerdict.OVER);
    assertThat(form(rules, -50_000_000)).isEqualTo(FormVerdict.WITHIN);
    FormRules simple = form(Optional.empty());
    assertThat(form(simple, 8_000_000)).isEqualTo(FormVerdict.WITHIN);
    assertThat(form(simple, 8_000_001)).isEqualTo(FormVerdict.OVER);
  }

  private static FormVerdict form(FormRules rules, long picometres) {
    return Places.judge(rules, rules.limits().get(0), new Length(picometres)).verdict();
  }

  private static FormRules form(Optional<Length> repeatability) {
    return new FormRules(
        List.of(new FormLimit(FormKind.OVALITY, new Length(8_000_000))),
        repeatability,
        0.95,
        new Action(Action.Level.ALERT, StopKind.END_OF_PART, Optional.empty()));
  }

  private static String said(Acceptance acceptance, long low, long high) {
    Judgement judgement = Places.judge(acceptance, new Span(um(low), um(high)));
    return judgement.verdict().key()
        + judgement.also().map(v -> " and " + v.key()).orElse("")
        + (judgement.inside() ? ", inside" : ", out");
  }

  private static Length um(long um) {
    return new Length(62_000_000_000L + um * 1_000_000);
  }
}

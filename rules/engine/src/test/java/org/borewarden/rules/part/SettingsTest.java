package org.borewarden.rules.part;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;

class SettingsTest {
  private static final Action NOTE =
      new Action(Action.Level.NOTE, StopKind.END_OF_PART, Optional.empty());
  private static final WatchRule RUN = new WatchRule.OneSide("eight", 8, NOTE);

  @Test
  void aFeatureRefusesWhatCannotBe() {
    refused(() -> feature("a/b", 1, "62.015 mm", List.of()), "without / + #, found 'a/b'");
    refused(() -> feature("seat", 0, "62.015 mm", List.of()), "1 to 65535, found 0");
    refused(() -> feature("seat", 1, "62.031 mm", List.of()), "centre must lie within the limits");
    refused(() -> feature("seat", 1, "62.015 mm", List.of(RUN, RUN)), "watch eight is there twice");
    refused(() -> feature("seat", 1, "", List.of(RUN)), "a run watch needs a centre");
    assertThat(feature("seat", 1, "", List.of()).centre()).isEmpty();
  }

  @Test
  void aRunRefusesACountOutOfItsRange() {
    refused(() -> new WatchRule.OneSide("r", 1, NOTE), "count of a run to be 2 to 100, found 1");
    refused(() -> new WatchRule.OneSide("r", 101, NOTE), "found 101");
    refused(() -> new WatchRule.OneSide("a/b", 8, NOTE), "found 'a/b'");
    assertThat(new WatchRule.OneSide("r", 2, NOTE).count()).isEqualTo(2);
    assertThat(new WatchRule.OneSide("r", 100, NOTE).count()).isEqualTo(100);
  }

  @Test
  void aForecastRefusesWhatIsOutOfItsRange() {
    refused(() -> forecast(0.5, 12, "1 um", 4, 10, 4, 2), "probability over 0.5 and under 1");
    refused(() -> forecast(Double.NaN, 12, "1 um", 4, 10, 4, 2), "found NaN");
    refused(() -> forecast(0.95, 2, "1 um", 4, 10, 4, 2), "minimum of bores to be 3 to 1000");
    refused(() -> forecast(0.95, 12, "0 um", 4, 10, 4, 2), "sigma must be above 0");
    refused(() -> forecast(0.95, 12, "1 um", 0, 10, 4, 2), "the lead to be 1 to 100000, found 0");
    refused(() -> forecast(0.95, 12, "1 um", 4, 4, 10, 2), "hold within must not be farther");
    refused(() -> forecast(0.95, 12, "1 um", 4, 10, 4, 0), "successive bores to be 1 to 10");
    refused(() -> forecast(0.95, 12, "1 um", 4, 100_001, 4, 2), "alert within to be 1 to 100000");
    refused(() -> forecast(0.95, 12, "1 um", 4, 0, 100_001, 2), "hold within to be 1 to 100000");
    refused(() -> forecast(1, 12, "1 um", 4, 10, 4, 2), "found 1.0");
    assertThat(forecast(0.95, 12, "1 um", 4, 4, 4, 2).holdsAt()).hasValue(4);
  }

  @Test
  void withoutAnyDistanceAForecastHoldsAtItsLead() {
    assertThat(forecast(0.95, 12, "1 um", 8, 10, 4, 2).holdsAt()).hasValue(4);
    assertThat(forecast(0.95, 12, "1 um", 8, 10, 0, 2).holdsAt()).isEmpty();
    assertThat(forecast(0.95, 12, "1 um", 8, 0, 0, 2).holdsAt()).hasValue(8);
  }

  @Test
  void decisionRulesRefuseWhatIsOutOfTheirRange() {
    Length zero = Length.ZERO;
    Length one = new Length(1);
    refused(() -> new DecisionRule.Proven(0.5, one), "over 0.5 and under 1, found 0.5");
    refused(() -> new DecisionRule.Proven(1, one), "found 1.0");
    refused(() -> new DecisionRule.Proven(0.95, zero), "uncertainty must be above 0");
    refused(() -> DecisionRule.Guard.of(BigDecimal.ONE.negate(), one), "must not be negative");
    refused(() -> DecisionRule.Guard.of(BigDecimal.ZERO, zero), "uncertainty must be above 0");
  }

  @Test
  void aWatchOnlyDateIsADate() {
    refused(
        () -> new Action(Action.Level.HOLD, StopKind.END_OF_PART, Optional.of("31.01.2027")),
        "expected a date such as 2027-01-31, found 31.01.2027");
  }

  @Test
  void twoFeaturesOfOneNameOrNumberAreRefused() {
    Feature one = feature("seat", 1, "", List.of());
    refused(
        () -> new RuleSet("r", List.of(one, feature("seat", 2, "", List.of()))),
        "the feature seat is there twice");
    refused(
        () -> new RuleSet("r", List.of(one, feature("bore", 1, "", List.of()))),
        "the feature number 1 is there twice");
  }

  @Test
  void aReadingBelongsToTheFeatureOfItsGaugeAndInput() {
    Feature seat = feature("seat", 1, "", List.of());
    RuleSet rules = new RuleSet("r", List.of(seat));
    assertThat(rules.measuredBy(reading("g1", Optional.empty()))).contains(seat);
    assertThat(rules.measuredBy(reading("g1", Optional.of("2")))).contains(seat);
    assertThat(rules.measuredBy(reading("g2", Optional.empty()))).isEmpty();
  }

  private static Reading reading(String gauge, Optional<String> input) {
    return new Reading(gauge, Lengths.of("62.01 mm"), Unit.MILLIMETRE, 3, input, Optional.empty());
  }

  private static void refused(ThrowingCallable call, String why) {
    assertThatIllegalArgumentException().isThrownBy(call).withMessageContaining(why);
  }

  /** A distance of 0 stands for none. */
  private static WatchRule.Forecast forecast(
      double p, int minimum, String sigma, int lead, int alert, int hold, int successive) {
    return new WatchRule.Forecast(
        "wear",
        p,
        minimum,
        Optional.of(Lengths.of(sigma)),
        lead,
        alert == 0 ? OptionalInt.empty() : OptionalInt.of(alert),
        hold == 0 ? OptionalInt.empty() : OptionalInt.of(hold),
        successive,
        NOTE,
        NOTE,
        Optional.empty());
  }

  private static Feature feature(String id, int number, String centre, List<WatchRule> watches) {
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, NOTE);
    return new Feature(
        id,
        number,
        "housing",
        "g1",
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Lengths.of("62 mm"),
        new Limits(Optional.of(Lengths.of("62 mm")), Optional.of(Lengths.of("62.030 mm"))),
        Unit.MILLIMETRE,
        new DecisionRule.Simple(),
        centre.isEmpty() ? Optional.empty() : Optional.of(Lengths.of(centre)),
        1,
        out,
        out,
        watches);
  }
}

package org.borewarden.rules.file;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.Asked;
import org.borewarden.rules.part.Assurance;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Feature.Disposition;
import org.borewarden.rules.part.Feature.OutOfLimit;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.part.Streams;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.uncertainty.Expansion;
import org.borewarden.rules.uncertainty.Uncertainty;
import org.junit.jupiter.api.Test;

/** What the valid example files come to, value by value. */
class RulesValuesTest {
  private static final Action HOLD = new Action(Level.HOLD, StopKind.END_OF_PART, Optional.empty());

  private static List<Feature> features(String example) {
    return RulesFileTest.good(Cases.resource("/valid/" + example + ".yaml")).rules().features();
  }

  @Test
  void theSmallestFileHasTheSafeDefaults() {
    assertThat(features("smallest"))
        .containsExactly(
            new Feature(
                "bearing-seat",
                1,
                "housing-31",
                "bore-1",
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                micrometres(62_000),
                new Limits(Optional.of(micrometres(62_000)), Optional.of(micrometres(62_030))),
                Unit.MILLIMETRE,
                new DecisionRule.Simple(),
                Optional.of(micrometres(62_015)),
                1,
                new OutOfLimit(Disposition.REWORK, HOLD),
                new OutOfLimit(Disposition.SCRAP, HOLD),
                List.of(
                    new WatchRule.Forecast(
                        "forecast",
                        0.95,
                        12,
                        Optional.empty(),
                        1,
                        OptionalInt.of(10),
                        OptionalInt.of(4),
                        2,
                        new Action(Level.ALERT, StopKind.END_OF_PART, Optional.empty()),
                        HOLD,
                        Optional.empty()))));
  }

  @Test
  void everyKeyReachesItsField() {
    Optional<String> day = Optional.of("2026-03-31");
    Action heldUntil = new Action(Level.HOLD, StopKind.END_OF_PART, day);
    assertThat(features("every-key").get(0))
        .isEqualTo(
            new Feature(
                "bearing-seat",
                7,
                "housing-31 rev C",
                "bore-1",
                Optional.of("2"),
                Optional.of("cell-5"),
                Optional.of("17"),
                micrometres(62_000),
                new Limits(Optional.of(micrometres(61_999)), Optional.of(micrometres(62_030))),
                Unit.MICROMETRE,
                new DecisionRule.Guard(
                    new DecisionRule.Band.Fixed(new Length(1_500_000)),
                    new DecisionRule.Band.Times(new BigDecimal("0.822")),
                    Uncertainty.expanded(micrometres(3), 2)),
                new Assurance(
                    Party.CUSTOMER,
                    Optional.of(
                        new Expansion(
                            23.6e-6,
                            10.8e-6,
                            11.7e-6,
                            0.9e-6,
                            18,
                            31.5,
                            2,
                            Optional.of(
                                new Expansion.Correction(0.5, 0.2, Duration.ofMinutes(10))))),
                    Optional.of(new Prior(micrometres(62_015), micrometres(2))),
                    new Asked(new BigDecimal("3"), 8, Optional.empty()),
                    Drawing.ASME),
                Optional.of(micrometres(62_018)),
                4,
                new OutOfLimit(
                    Disposition.REVIEW,
                    new Action(Level.ALERT, StopKind.END_OF_PART, Optional.empty())),
                new OutOfLimit(
                    Disposition.SCRAP, new Action(Level.HOLD, StopKind.NEXT_SAFE_POINT, day)),
                List.of(
                    new WatchRule.Forecast(
                        "wear",
                        0.99,
                        24,
                        Optional.of(new Length(1_100_000)),
                        8,
                        OptionalInt.of(20),
                        OptionalInt.of(8),
                        1,
                        new Action(Level.ALERT, StopKind.END_OF_PART, Optional.empty()),
                        heldUntil,
                        Optional.of(
                            new SlopePrior.Given(
                                new Length(-800_000), new Length(100_000), 40, 5))),
                    new WatchRule.OneSide("nine-on-one-side", 9, heldUntil)),
                Measuring.SINGLE,
                new Streams(PartOrder.SERIAL, List.of(Streams.By.SPINDLE, Streams.By.FIXTURE))));
  }

  @Test
  void aFeatureTakesPartAndCellFromTheHeadOfTheFile() {
    Feature pilot = features("every-key").get(1);
    assertThat(pilot.part()).isEqualTo("housing-31");
    assertThat(pilot.cell()).contains("cell-4");
    assertThat(pilot.number()).isEqualTo(2);
    assertThat(pilot.rule()).isEqualTo(new DecisionRule.Proven(0.95, new Length(1_500_000)));
  }

  @Test
  void inchesAreExactPicometres() {
    Feature dowel = features("inch-and-one-sided").get(0);
    assertThat(dowel.unit()).isEqualTo(Unit.INCH);
    assertThat(dowel.nominal()).isEqualTo(new Length(22_225_000_000L));
    assertThat(dowel.limits().upper()).contains(new Length(22_257_512_000L));
    assertThat(dowel.limits().lower()).contains(new Length(22_223_730_000L));
  }

  @Test
  void aOneSidedFeatureHasNoCentreUnlessOneIsGiven() {
    List<Feature> features = features("inch-and-one-sided");
    assertThat(features.get(1).centre()).isEmpty();
    assertThat(features.get(2).centre()).contains(micrometres(20_100));
  }

  @Test
  void aGuardBandIsRoundedUpToThePicometre() {
    // 0.333 of 3 000 001 pm is 999 000.333 pm.
    String text =
        "part: p\nfeatures:\n  - {id: a, gauge: g, nominal: 62 mm, upper: +0.03 mm, lower: 0,"
            + " uncertainty: {U: 3.000001 um}, decision: {guard: {times: 0.333}}}\n";
    DecisionRule.Guard guard =
        (DecisionRule.Guard) RulesFileTest.good(text).rules().features().get(0).rule();
    assertThat(guard.lower()).isEqualTo(new Length(999_001));
    assertThat(guard.upper()).isEqualTo(new Length(999_001));
    assertThat(guard.uncertainty()).isEqualTo(Uncertainty.expanded(new Length(3_000_001), 2));
  }

  @Test
  void theRevisionIsTheBeginningOfTheDigestOfTheBytes() {
    // sha256sum of "abc", published with the standard.
    assertThat(RulesFile.revision("abc".getBytes(StandardCharsets.UTF_8)))
        .isEqualTo("ba7816bf8f01");
  }

  @Test
  void theSameTextHasTheSameRevisionAndAnotherAnother() {
    String text = Cases.resource("/valid/smallest.yaml");
    assertThat(RulesFileTest.good(text).rules().revision())
        .isEqualTo(RulesFileTest.good(text).rules().revision())
        .isNotEqualTo(RulesFileTest.good(text + "#\n").rules().revision())
        .matches("[0-9a-f]{12}");
  }

  @Test
  void aSizeInAnotherSystemIsRoundedToNineDecimals() {
    assertThat(ShownLength.size(micrometres(3), Unit.INCH)).isEqualTo("0.00011811 in");
    assertThat(ShownLength.deviation(new Length(-1), Unit.MILLIMETRE)).isEqualTo("-0.000000001 mm");
  }

  @Test
  void moreFeaturesThanTheLimitAreRefused() {
    StringBuilder text = new StringBuilder("part: p\nfeatures:\n");
    for (int i = 0; i <= RulesFile.MOST_FEATURES; i++) {
      text.append("  - {id: f").append(i).append(", gauge: g").append(i);
      text.append(", nominal: 62 mm, upper: +30 um}\n");
    }
    assertThat(RulesFileTest.problems(text.toString()))
        .containsExactly(
            "rules.yaml:3:3 features: expected a list of 1 to 500 features, found 501");
  }

  private static Length micrometres(long count) {
    return new Length(count * 1_000_000);
  }
}

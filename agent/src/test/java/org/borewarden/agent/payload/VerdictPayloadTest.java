package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.payload.Quoted.body;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.bore.Taken;
import org.borewarden.rules.bore.Trace;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;

/** What is published of a bore, to the last digit. */
class VerdictPayloadTest {
  private static final String RULES =
      """
      part: "40117"
      features:
        - {id: dowel, gauge: bore-2, nominal: 0.8750 in, upper: +0.00128 in, lower: -50 uin}
        - {id: bearing-seat, gauge: bore-1, part: housing-31, nominal: 62 mm, upper: +0.030 mm, lower: 0}
        - id: proven-bore
          gauge: bore-3
          nominal: 25 mm
          upper: +0.021 mm
          lower: 0
          uncertainty: {U: 4 um}
        - id: received-bore
          gauge: bore-5
          nominal: 25 mm
          upper: +0.021 mm
          lower: 0
          uncertainty: {U: 4 um}
          decision: {proven: {}, for: customer}
          prior: {mean: 25.010 mm, sigma: 2 um}
        - {id: floor, gauge: bore-4, nominal: 20 mm, lower: +0.1 mm}
      """;

  @Test
  void aBoreWithinLeavesOutWhatIsNotThere() {
    assertThat(verdict("bearing-seat", "62.010", Unit.MILLIMETRE, PartContext.NONE))
        .isEqualTo(
            "{'feature':'bearing-seat','part_number':'housing-31','part':7,'verdict':'within',"
                + "'inside':true,'value':62.010,'unit':'mm','pm':62010000000,'deviation':0.010,"
                + "'lower':62.000,'upper':62.030,'accept_lower':62.000,'accept_upper':62.030,"
                + "'rule':'simple','gauge':'bore-1','readings':[41],"
                + "'cautions':['no-uncertainty-stated']}");
  }

  @Test
  void aBoreInInchIsComparedWithALimitOfMoreDigitsThanItHas() {
    assertThat(verdict("dowel", "0.8763", Unit.INCH, PartContext.NONE))
        .isEqualTo(
            "{'feature':'dowel','part_number':'40117','part':7,'verdict':'oversize',"
                + "'disposition':'scrap','inside':false,'value':0.8763,'unit':'in','pm':22258020000,"
                + "'deviation':0.0013,'lower':0.87495,'upper':0.87628,'accept_lower':0.87495,"
                + "'accept_upper':0.87628,'rule':'simple','gauge':'bore-2','readings':[41],"
                + "'cautions':['no-uncertainty-stated']}");
  }

  @Test
  void anInchLimitInMillimetresIsWrittenToItsLastDigit() {
    // 0.87628 in is 22.257512 mm: with three digits it would print like a bore of 22.258 mm.
    assertThat(verdict("dowel", "22.258", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'oversize'", "'value':22.258,", "'upper':22.257512,");
  }

  @Test
  void aBoreThatIsOutNeverPrintsLikeItsLimit() {
    // Four tenths of a micrometre over, from a gauge that shows whole micrometres.
    assertThat(verdict("bearing-seat", new Length(62_030_400_000L), 3))
        .contains("'verdict':'oversize'", "'value':62.0304,", "'upper':62.030,");
    assertThat(verdict("bearing-seat", new Length(61_999_999_999L), 3))
        .contains("'verdict':'undersize'", "'value':61.999999999,", "'lower':62.000,");
    assertThat(verdict("bearing-seat", new Length(62_029_999_999L), 3))
        .contains("'verdict':'within'", "'value':62.030,");
  }

  @Test
  void aBoreThatIsNotProvenSaysHowSureItIsAndWhichLimitsWereUsed() {
    assertThat(verdict("proven-bore", "25.019", Unit.MILLIMETRE, PartContext.NONE))
        .startsWith(
            "{'feature':'proven-bore','part_number':'40117','part':7,'verdict':'undecided-high',"
                + "'inside':true,'conformity':0.84134474606854")
        .contains(
            "'risk':0.158655253931457",
            "'value':25.019,'unit':'mm','pm':25019000000,'deviation':0.019,'lower':25.000,"
                + "'upper':25.021,'accept_lower':25.003289708,'accept_upper':25.017710292,"
                + "'rule':'proven','proof':{'u':0.002,'expanded':0.004,'k':2.0,"
                + "'guard_lower':0.003289708,'guard_upper':0.003289708,'at':0.95,"
                + "'party':'supplier'},")
        .endsWith("'readings':[41],'cautions':[]}");
  }

  @Test
  void eachPartyMayDoWhatItsOwnUncertaintyProves() {
    assertThat(verdict("proven-bore", "25.0105", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'within'", "'party':'supplier','may':'ship'}");
    assertThat(verdict("proven-bore", "25.026", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'oversize'", "'party':'supplier'},");
    assertThat(verdict("received-bore", "25.026", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'oversize'", "'party':'customer','may':'reject',");
    assertThat(verdict("received-bore", "25.0105", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'within'", "'party':'customer','conformity_with_prior':");
  }

  /** Beside the verdict and below it: the past speaks for a bore that is not proven. */
  @Test
  void thePriorStandsBesideAndTurnsNoVerdict() {
    assertThat(verdict("received-bore", "25.0225", Unit.MILLIMETRE, PartContext.NONE))
        .contains("'verdict':'undecided-high','inside':false,'conformity':0.2266273523768")
        .contains("'conformity_with_prior':0.99");
  }

  @Test
  void aFeatureWithOneLimitHasNoOther() {
    assertThat(verdict("floor", "20.099", Unit.MILLIMETRE, PartContext.NONE))
        .isEqualTo(
            "{'feature':'floor','part_number':'40117','part':7,'verdict':'undersize',"
                + "'disposition':'rework','inside':false,'value':20.099,'unit':'mm',"
                + "'pm':20099000000,'deviation':0.099,'lower':20.100,'accept_lower':20.100,"
                + "'rule':'simple','gauge':'bore-4','readings':[41],"
                + "'cautions':['no-uncertainty-stated']}");
  }

  @Test
  void whatWasSaidOfThePartStandsBesideTheVerdict() {
    PartContext said =
        new PartContext(
            OptionalLong.of(7),
            Optional.of("A-7"),
            Optional.empty(),
            Optional.of("2"),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    assertThat(verdict("bearing-seat", "62.010", Unit.MILLIMETRE, said))
        .endsWith(",'context':{'part':7,'serial':'A-7','spindle':'2'}}");
  }

  @Test
  void aVerdictOfManyReadingsSaysHowTheyCombine() {
    Span span = new Span(new Length(61_999_000_000L), new Length(62_031_000_000L));
    Measured measured =
        new Measured(
            SizeRule.EVERY,
            span,
            span.low(),
            List.of(
                new Taken("entry/0", 41, span.high(), true),
                new Taken("entry/90", 42, new Length(62_050_000_000L), false),
                new Taken("entry/90", 43, span.low(), true)),
            List.of(
                new FormResult(
                    FormKind.OVALITY,
                    new Length(32_000_000),
                    new Length(8_000_000),
                    FormVerdict.OVER)),
            List.of("first-reading-out"));
    Bore bore =
        new Bore(
            "bearing-seat",
            7,
            span.high(),
            Unit.MILLIMETRE,
            3,
            List.of(41L, 42L, 43L),
            PartContext.NONE,
            Optional.of(measured),
            Optional.of(new Trace("R62", Optional.of("K-7"), 12, OptionalLong.of(9))));
    assertThat(verdict("bearing-seat", bore))
        .contains(
            "'plan':{'size':'every','low':61.999,'high':62.031,'readings':["
                + "{'place':'entry/0','seq':41,'value':62.031,'counts':true},"
                + "{'place':'entry/90','seq':42,'value':62.05,'counts':false},"
                + "{'place':'entry/90','seq':43,'value':61.999,'counts':true}]},"
                + "'form':[{'kind':'ovality','value':0.032,'most':0.008,'verdict':'over'}],"
                + "'rests':{'ring':'R62','certificate':'K-7','checked':12,'mastered':9}",
            "'first-reading-out'");
  }

  private static Feature feature(String id) {
    return Shift.read(RULES).features().stream()
        .filter(f -> f.id().equals(id))
        .findFirst()
        .orElseThrow();
  }

  private static String verdict(String id, String size, Unit unit, PartContext context) {
    BigDecimal digits = new BigDecimal(size);
    BigDecimal picometres = digits.multiply(BigDecimal.valueOf(unit.picometres()));
    Length value = new Length(picometres.longValueExact());
    return verdict(id, new Bore(id, 7, value, unit, digits.scale(), List.of(41L), context));
  }

  private static String verdict(String id, Length value, int decimals) {
    return verdict(
        id, new Bore(id, 7, value, Unit.MILLIMETRE, decimals, List.of(41L), PartContext.NONE));
  }

  private static String verdict(String id, Bore bore) {
    Feature feature = feature(id);
    Acceptance acceptance = Acceptance.of(feature.limits(), feature.rule());
    return body(new Decision.BoreJudged(feature, bore, Judge.judge(acceptance, bore.value())));
  }
}

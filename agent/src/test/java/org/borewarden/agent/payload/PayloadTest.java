package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.bore.Taken;
import org.borewarden.rules.bore.Trace;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.engine.TrendView;
import org.borewarden.rules.engine.TurnView;
import org.borewarden.rules.gauge.Attribution;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.gauge.BoreLog;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.gauge.Noise;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AlertView;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.FormView;
import org.borewarden.rules.watch.OffsetView;
import org.junit.jupiter.api.Test;

/** Each payload as it leaves, to the last digit. */
class PayloadTest {
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");

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
  void aTimeHasThreeDigitsAlsoWhereTheyAreZeros() {
    assertThat(Json.time(AT)).isEqualTo("2026-05-04T08:00:00.000Z");
    assertThat(Json.time(Instant.parse("2026-05-04T08:00:00.120Z")))
        .isEqualTo("2026-05-04T08:00:00.120Z");
    assertThat(Json.write(Optional.of(AT))).isEqualTo("\"2026-05-04T08:00:00.000Z\"");
  }

  @Test
  void aReadingHasTheDigitsThatTheGaugeShowed() {
    assertThat(body(Shift.bore("bore-1", "62.010 mm")))
        .isEqualTo("{'gauge':'bore-1','value':62.010,'unit':'mm','pm':62010000000}");
    assertThat(body(Shift.reading("bore-1", Length.ZERO, Unit.MILLIMETRE, 9)))
        .isEqualTo("{'gauge':'bore-1','value':0.000000000,'unit':'mm','pm':0}");
    assertThat(
            body(
                Samples.events().stream().filter(PayloadTest::hasStatus).findFirst().orElseThrow()))
        .isEqualTo(
            "{'gauge':'bore-2','value':62010.0,'unit':'um','pm':62010000000,'input':'2',"
                + "'status':'battery low'}");
  }

  @Test
  void bytesThatAreNoReadingSayWhereAndWhy() {
    assertThat(
            body(
                new Event.FrameRejected(
                    "bore-1", "too-long", "expected at most 64 bytes", 64, "62.0 mm", 3)))
        .isEqualTo(
            "{'gauge':'bore-1','why':'too-long','detail':'expected at most 64 bytes','offset':64,"
                + "'excerpt':'62.0 mm','unpublished':3}");
  }

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
  void aHoldSaysThatItCountsWithTheHeartbeatOnlyAndWhetherItIsRecorded() {
    HoldView held =
        new HoldView(
            "cell-4",
            Phase.REQUESTED,
            false,
            Optional.of(StopKind.NEXT_SAFE_POINT),
            3,
            14,
            List.of(
                new Cause(
                    "forecast/bearing-seat/wear",
                    Reason.FORECAST,
                    Optional.of("bearing-seat"),
                    StopKind.END_OF_PART,
                    1207,
                    2),
                new Cause(
                    "unclean-stop",
                    Reason.UNCLEAN_STOP,
                    Optional.empty(),
                    StopKind.NEXT_SAFE_POINT,
                    9,
                    1)),
            List.of(
                new Condition(Reason.LINK, Optional.empty()),
                new Condition(Reason.SOURCE_LOST, Optional.of("port-a"))),
            false,
            false,
            0,
            Optional.empty(),
            List.of("A-7", "8"),
            AT,
            "agent",
            false,
            "0123456789abcdef");
    String rest =
        "'cell':'cell-4','state':'requested','permit':false,'kind':'next-safe-point','hold':3,"
            + "'revision':14,'causes':[{'cause':'forecast/bearing-seat/wear','reason':'forecast',"
            + "'reason_number':4,'feature':'bearing-seat','kind':'end-of-part','seq':1207,"
            + "'count':2},{'cause':'unclean-stop','reason':'unclean-stop','reason_number':6,"
            + "'kind':'next-safe-point','seq':9,'count':1}],'conditions':[{'condition':'link',"
            + "'reason_number':21},{'condition':'source-lost','reason_number':25,"
            + "'subject':'port-a'}],'heard':false,'stopped':false,'trial_parts_left':0,"
            + "'contain':['A-7','8'],'since':'2026-05-04T08:00:00.000Z','by':'agent',"
            + "'watch_only':false,'challenge':'0123456789abcdef'}";
    assertThat(quoted(StatePayloads.hold("nw-1", 4711, held, OptionalLong.empty())))
        .isEqualTo("{'agent':'nw-1','valid_with':'heartbeat','boot':4711,'recorded':false," + rest);
    assertThat(quoted(StatePayloads.hold("nw-1", 4711, held, OptionalLong.of(1210))))
        .isEqualTo(
            "{'agent':'nw-1','valid_with':'heartbeat','boot':4711,'recorded':true,'seq':1210,"
                + rest);
    assertThat(quoted(DecisionCodec.encode(new Decision.HoldChanged(held, Optional.of(14))).body()))
        .isEqualTo("{" + rest);
  }

  @Test
  void aBypassSaysWhenItEnds() {
    HoldView view =
        new HoldView(
            "cell-4",
            Phase.BYPASSED,
            true,
            Optional.empty(),
            3,
            14,
            List.of(),
            List.of(),
            false,
            false,
            0,
            Optional.of(AT.plusSeconds(900)),
            List.of(),
            AT,
            "p-17",
            true,
            "c");
    assertThat(quoted(StatePayloads.hold("nw-1", 1, view, OptionalLong.empty())))
        .contains("'permit':true,'hold':3", "'bypass_until':'2026-05-04T08:15:00.000Z'");
  }

  @Test
  void anAlertsTopicIsOneLevelThoughItsKeyHasSlashes() {
    AlertView alert =
        new AlertView(
            "forecast/bearing-seat/wear",
            AlertState.ACTIVE_UNACKNOWLEDGED,
            Reason.FORECAST,
            Optional.of("bearing-seat"),
            Optional.of("cell-4"),
            2,
            AT,
            "agent",
            Optional.empty(),
            Optional.empty(),
            OptionalInt.of(9),
            false,
            false,
            "9 parts until a bore may be undersize");
    Coded coded = DecisionCodec.encode(new Decision.AlertChanged(alert));
    assertThat(coded.topic()).contains("alert/forecast.bearing-seat.wear");
    assertThat(quoted(coded.body()))
        .isEqualTo(
            "{'alert':'forecast.bearing-seat.wear','state':'active-unacknowledged',"
                + "'reason':'forecast','reason_number':4,'feature':'bearing-seat','cell':'cell-4',"
                + "'count':2,'since':'2026-05-04T08:00:00.000Z','by':'agent','parts_left':9,"
                + "'holds':false,'would_have_held':false,"
                + "'words':'9 parts until a bore may be undersize'}");
  }

  @Test
  void aChartAndAGaugeAndTheAgent() {
    TrendView trend =
        new TrendView(
            "bearing-seat",
            30,
            12,
            31,
            Verdict.WITHIN,
            OptionalDouble.of(0.00001),
            3,
            Optional.of(
                new ForecastView(
                    12,
                    OptionalDouble.of(-1e-6),
                    OptionalDouble.of(2e-6),
                    "given",
                    OptionalInt.of(9),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    Optional.of("undersize"),
                    Optional.empty(),
                    Optional.of("earlier-tools"))),
            Optional.of(
                new CapabilityView(
                    2,
                    false,
                    50,
                    true,
                    "residual",
                    Optional.empty(),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.of(
                        new CapabilityView.Value(
                            1.25, OptionalDouble.empty(), OptionalDouble.empty())),
                    OptionalDouble.of(2.5),
                    OptionalDouble.of(0.5),
                    0.02,
                    0,
                    OptionalDouble.of(0.001),
                    OptionalDouble.empty())),
            Optional.of(
                new CapabilityView(
                    0,
                    true,
                    40,
                    false,
                    "residual",
                    Optional.of(
                        new CapabilityView.Value(
                            1.5, OptionalDouble.of(1.25), OptionalDouble.of(1.75))),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.empty(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    0,
                    0,
                    OptionalDouble.empty(),
                    OptionalDouble.empty())),
            List.of(
                new FormView(
                    "ovality",
                    2,
                    false,
                    50,
                    2e-6,
                    5e-6,
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    0,
                    0.0625)),
            Optional.of(new OffsetView(1e-5, 3e-7, -4e-6, 0.5, 2e-6, 1e-6)));
    assertThat(quoted(StatePayloads.trend("nw-1", trend, AT)))
        .isEqualTo(
            "{'agent':'nw-1','feature':'bearing-seat','bores':30,'segment_bores':12,"
                + "'last_part':31,'last_verdict':'within','deviation_meters':1.0E-5,"
                + "'run_on_one_side':3,'forecast':{'bores':12,'slope':-1.0E-6,'sigma':2.0E-6,"
                + "'sigma_kind':'given','parts_left':9,'side':'undersize','prior':'earlier-tools'},"
                + "'capability':{'lives':2,'partial':false,'bores':50,'drifts':true,"
                + "'sigma_kind':'residual','ppk':{'value':1.25},'room_at_start':2.5,"
                + "'room_at_end':0.5,'under':0.02,'over':0.0,'expected_under':0.001},"
                + "'capability_window':{'lives':0,'partial':true,'bores':40,'drifts':false,"
                + "'sigma_kind':'residual','cp':{'value':1.5,'low':1.25,'high':1.75},"
                + "'under':0.0,'over':0.0},"
                + "'form_capability':[{'form':'ovality','lives':2,'partial':false,'bores':50,"
                + "'median':2.0E-6,'largest':5.0E-6,'over':0.0,'over_at_most':0.0625}],"
                + "'offset':{'level':1.0E-5,'level_uncertainty':3.0E-7,'off':-4.0E-6,"
                + "'gain':0.5,'diameter':2.0E-6,'entry':1.0E-6},"
                + "'at':'2026-05-04T08:00:00.000Z'}");
    assertThat(
            quoted(
                StatePayloads.gauge(
                    "nw-1",
                    new GaugeView(
                        "bore-1",
                        false,
                        "gone",
                        Optional.of(AT),
                        7,
                        2,
                        Optional.of(true),
                        Optional.empty(),
                        Optional.of(new TurnView("bush", 2, 3))),
                    AT)))
        .isEqualTo(
            "{'agent':'nw-1','gauge':'bore-1','connected':false,'detail':'gone',"
                + "'last_seen':'2026-05-04T08:00:00.000Z','readings':7,'rejected':2,"
                + "'battery_low':true,'next':{'feature':'bush','place':2,'of':3},"
                + "'at':'2026-05-04T08:00:00.000Z'}");
    assertThat(quoted(StatePayloads.agent("nw-1", "0.1.0", "j-1", "abc", List.of())))
        .isEqualTo(
            "{'agent':'nw-1','state':'online','version':'0.1.0','journal':'j-1','rules':'abc'}");
    assertThat(quoted(StatePayloads.agent("nw-1", "0.1.0", "j-1", "abc", List.of("r:3:1 no"))))
        .endsWith("'rules':'abc','rules_refused':['r:3:1 no']}");
  }

  @Test
  void aGaugeShowsWhatItsRingSaysOfIt() {
    TruthView truth =
        new TruthView(
            Belief.SUSPECT, Optional.of("R62"), Optional.of(AT), Optional.of(1.5e-6), true, false);
    assertThat(
            quoted(
                StatePayloads.gauge(
                    "nw-1",
                    new GaugeView(
                        "bore-1",
                        true,
                        "open",
                        Optional.of(AT),
                        7,
                        2,
                        Optional.empty(),
                        Optional.of(truth),
                        Optional.empty()),
                    AT)))
        .contains(
            "'truth':{'belief':'suspect','ring':'R62','checked':'2026-05-04T08:00:00.000Z',"
                + "'error_meters':1.5E-6,'check_due':true,'on_ring':false}");
  }

  @Test
  void aSuspectWindowListsWhatToMeasureAgain() {
    RingCheck good = check(12, List.of(62_001_000_000L, 62_002_000_000L), true);
    RingCheck failed = check(80, List.of(62_006_000_000L), false);
    Acceptance acceptance =
        Acceptance.of(
            new Limits(
                Optional.of(new Length(62_000_000_000L)), Optional.of(new Length(62_030_000_000L))),
            new DecisionRule.Simple());
    LoggedBore bore =
        new LoggedBore(
            40,
            AT,
            "bearing-seat",
            7,
            Optional.of("A-7"),
            Span.of(new Length(62_001_000_000L)),
            new Length(62_000_000_000L),
            acceptance,
            Verdict.WITHIN,
            false);
    SuspectWindow window =
        SuspectWindow.of(
            good,
            failed,
            new Noise(600_000, 1_000_000),
            BoreLog.EMPTY.with(bore),
            OptionalInt.empty());
    Attribution attribution =
        Attribution.of(
            new Attribution.Shift(5_800_000, 550_000),
            new Attribution.Shift(5_200_000, 544_000),
            666_000,
            3);
    Coded coded =
        DecisionCodec.encode(
            new Decision.WindowSuspected("bore-1", window, Optional.of(attribution)));
    assertThat(coded.topic()).contains("recheck/bore-1");
    assertThat(quoted(coded.body()))
        .isEqualTo(
            "{'gauge':'bore-1','state':'suspect','from':{'seq':12,"
                + "'at':'2026-05-04T08:00:00.000Z','ring':'R62','certified':62.0013,"
                + "'readings':[62.001,62.002],'error':0.000200,'spread':0.001,'passed':true},"
                + "'until':{'seq':80,'at':'2026-05-04T08:00:00.000Z','ring':'R62',"
                + "'certified':62.0013,'readings':[62.006],'error':0.004700,'spread':0,"
                + "'passed':false},'error_least':-0.001132,'error_most':0.006032,'bores':1,"
                + "'cut':false,'again':[{'seq':40,'at':'2026-05-04T08:00:00.000Z',"
                + "'feature':'bearing-seat','part':7,'serial':'A-7','verdict':'within',"
                + "'likely':'undersize','likely_size':61.998550}],'attribution':{"
                + "'answer':'gauge','bore_shift':0.005800,'bore_uncertainty':0.000550,"
                + "'ring_shift':0.005200,'ring_uncertainty':0.000544}}");
    assertThat(body(new Decision.WindowWithdrawn("bore-1", 81)))
        .isEqualTo("{'gauge':'bore-1','state':'withdrawn','withdraws':81,'again':[]}");
    assertThat(body(new Decision.RingChecked("bore-1", good, true)))
        .startsWith("{'gauge':'bore-1','seq':12,")
        .endsWith("'passed':true,'as_left':true}");
    assertThat(body(new Decision.ReadingSetAside("bearing-seat", "beyond-the-plan")))
        .isEqualTo("{'feature':'bearing-seat','why':'beyond-the-plan'}");
  }

  private static RingCheck check(long seq, List<Long> readings, boolean passed) {
    return new RingCheck(
        seq,
        AT,
        "R62",
        new Length(62_001_300_000L),
        0,
        readings.stream().map(Length::new).toList(),
        passed);
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

  @Test
  void whatIsTakenBackOrAnsweredOrNotJudged() {
    Coded back =
        DecisionCodec.encode(new Decision.BoreDiscarded("bearing-seat", 12, "chip", "sam"));
    assertThat(back.topic()).contains("verdict/bearing-seat");
    assertThat(quoted(back.body()))
        .isEqualTo(
            "{'feature':'bearing-seat','revised':12,'verdict':'discarded','why':'chip','by':'sam'}");
    assertThat(
            body(
                new Decision.CommandAnswered(
                    "id-1", AnswerCode.PENDING_EVIDENCE, Optional.of("cell-4"), 3, 14, "")))
        .isEqualTo(
            "{'command_id':'id-1','code':'PENDING_EVIDENCE','cell':'cell-4','hold':3,"
                + "'revision':14,'detail':''}");
    assertThat(body(new Decision.NotJudged("bearing-seat", "fault")))
        .isEqualTo("{'feature':'bearing-seat','fault':'fault'}");
    assertThat(body(new Decision.ReadingUnassigned("bore-9"))).isEqualTo("{'gauge':'bore-9'}");
  }

  private static boolean hasStatus(Event event) {
    return event instanceof Event.ReadingTaken taken && taken.reading().status().isPresent();
  }

  private static String body(Event event) {
    return quoted(EventCodec.encode(event).body());
  }

  private static String body(Decision decision) {
    return quoted(DecisionCodec.encode(decision).body());
  }

  /** JSON that a person can read in a Java text; none of it has an apostrophe of its own. */
  private static String quoted(String json) {
    assertThat(json).doesNotContain("'");
    return json.replace('"', '\'');
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

package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.payload.Quoted.body;
import static org.borewarden.agent.payload.Quoted.quoted;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.engine.TrendView;
import org.borewarden.rules.engine.TurnView;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.FormView;
import org.borewarden.rules.watch.OffsetView;
import org.junit.jupiter.api.Test;

/** Each other payload as it leaves, to the last digit. */
class PayloadTest {
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");

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
}

package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.payload.Quoted.body;
import static org.borewarden.agent.payload.Quoted.quoted;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.gauge.Attribution;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.gauge.BoreLog;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.gauge.Noise;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.junit.jupiter.api.Test;

/** What is published of the truth of a gauge, to the last digit. */
class GaugePayloadTest {
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");

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
}

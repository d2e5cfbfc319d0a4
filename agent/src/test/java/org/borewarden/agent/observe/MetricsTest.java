package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.lang.ref.WeakReference;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class MetricsTest {
  private final AtomicLong nanos = new AtomicLong();
  private final Metrics metrics = Everything.metrics(nanos::get);

  @AfterEach
  void close() {
    metrics.close();
  }

  @Test
  void aBoreInInchIsShownInMetresToTheLastDigit() {
    Length value = new Length(22_235_414_000L); // 0.87541 in
    Length nominal = new Length(22_225_000_000L); // 0.8750 in
    metrics.bores().features(List.of("pin-bore"));
    metrics.bores().judged(Everything.judged("pin-bore", value, nominal, Verdict.WITHIN));
    assertThat(series())
        .contains("borewarden_bore_meters{feature=\"pin-bore\"} 0.022235414")
        .contains("borewarden_deviation_meters{feature=\"pin-bore\"} 1.0414E-5");
  }

  @Test
  void aDeviationIsTakenBeforeItBecomesADouble() {
    metrics.bores().features(List.of("bearing-seat"));
    metrics
        .bores()
        .judged(
            Everything.judged(
                "bearing-seat", Everything.mm("62.003"), Everything.mm("62"), Verdict.WITHIN));
    assertThat(series()).contains("borewarden_deviation_meters{feature=\"bearing-seat\"} 3.0E-6");
  }

  @Test
  void whatIsNotKnownIsAbsentAndComesBack() {
    String name = "borewarden_bores_until_limit";
    metrics.bores().features(List.of("bearing-seat"));
    assertThat(metrics.scrape("")).doesNotContain(name);
    metrics.bores().untilLimit("bearing-seat", OptionalInt.of(12));
    assertThat(series()).contains(name + "{feature=\"bearing-seat\"} 12.0");
    metrics.bores().untilLimit("bearing-seat", OptionalInt.empty());
    assertThat(metrics.scrape("")).doesNotContain(name);
    metrics.bores().untilLimit("bearing-seat", OptionalInt.of(11));
    assertThat(series()).contains(name + "{feature=\"bearing-seat\"} 11.0");
  }

  @Test
  void aCheckThatIsAskedForBeforeItsTimeIsDueFromThenOn() {
    String due = "borewarden_ring_check_due_timestamp_seconds{gauge=\"bore-60\"} ";
    Instant noon = Instant.ofEpochSecond(1_000_000);
    metrics.input().ringCheckDue("bore-60", Optional.of(noon));
    metrics.input().ringCheckAsked("bore-60", noon.minusSeconds(60));
    metrics.input().ringCheckAsked("bore-60", noon.minusSeconds(30));
    assertThat(series()).contains(due + "999940.0");
    metrics.input().ringCheckDue("bore-60", Optional.empty());
    assertThat(metrics.scrape("")).doesNotContain(due);
  }

  @Test
  void aGaugeThatIsNoLongerCheckedOnARingHasNoBelief() {
    String belief = "borewarden_gauge_belief{gauge=\"bore-60\",state=";
    metrics.input().belief("bore-60", Optional.of(Belief.SUSPECT));
    assertThat(series()).contains(belief + "\"suspect\"} 1.0", belief + "\"good\"} 0.0");
    metrics.input().belief("bore-60", Optional.empty());
    assertThat(metrics.scrape("")).doesNotContain(belief);
  }

  @Test
  void aClockOfWhichNothingIsKnownIsNotShown() {
    metrics.agent().clockSynchronised(Optional.of(false));
    assertThat(series()).contains("borewarden_clock_synchronised 0.0");
    metrics.agent().clockSynchronised(Optional.empty());
    assertThat(metrics.scrape("")).doesNotContain("borewarden_clock_synchronised");
  }

  @Test
  void aDriftTakesCpAndCpkOutOfTheScrape() {
    String name = "borewarden_capability_ratio";
    metrics.bores().features(List.of("bearing-seat"));
    metrics
        .bores()
        .capability(
            Everything.trend(
                Optional.of(Everything.capability(true)), Optional.empty(), List.of()));
    assertThat(series())
        .contains(
            name + "{feature=\"bearing-seat\",index=\"cpk\"} 1.41",
            name + "{feature=\"bearing-seat\",index=\"ppk\"} 1.41");
    metrics
        .bores()
        .capability(
            Everything.trend(
                Optional.of(Everything.capability(false)), Optional.empty(), List.of()));
    assertThat(series())
        .contains(name + "{feature=\"bearing-seat\",index=\"ppk\"} 1.41")
        .noneMatch(line -> line.contains("index=\"cp\"") || line.contains("index=\"cpk\""));
  }

  @Test
  void theLastBoresAndFormsHaveIndicesOfTheirOwnAndTooFewBoresHaveNone() {
    String name = "borewarden_capability_ratio{feature=\"bearing-seat\",index=";
    metrics.bores().features(List.of("bearing-seat"));
    showLastBoresAndForm(true, OptionalDouble.of(1.72));
    assertThat(series())
        .contains(name + "\"cpk-window\"} 1.41", name + "\"ppk-ovality\"} 1.72")
        .noneMatch(line -> line.contains("index=\"cpk\""));
    showLastBoresAndForm(false, OptionalDouble.empty());
    assertThat(series())
        .contains(name + "\"ppk-window\"} 1.41")
        .noneMatch(line -> line.contains("cpk-window") || line.contains("ppk-ovality"));
    showLastBoresAndForm(true, OptionalDouble.of(1.72));
    metrics.bores().capability(Everything.trend(Optional.empty(), Optional.empty(), List.of()));
    assertThat(metrics.scrape("")).doesNotContain("ppk-window").doesNotContain("ppk-ovality");
  }

  private void showLastBoresAndForm(boolean steady, OptionalDouble ppk) {
    metrics
        .bores()
        .capability(
            Everything.trend(
                Optional.empty(),
                Optional.of(Everything.capability(steady)),
                List.of(Everything.form(ppk))));
  }

  @Test
  void aFeatureThatLeftTheRulesLeavesTheScrape() {
    Everything.feed(metrics);
    assertThat(metrics.scrape("")).contains("feature=\"bearing-seat\"");
    metrics.bores().features(List.of("dowel-hole"));
    assertThat(metrics.scrape(""))
        .doesNotContain("feature=\"bearing-seat\"")
        .contains("borewarden_bores_total{feature=\"dowel-hole\",verdict=\"within\"} 0.0");
  }

  @Test
  void noSeriesShowsNaNAfterACollection() {
    Everything.feed(metrics);
    WeakReference<Object> canary = new WeakReference<>(new Object());
    await()
        .atMost(Duration.ofSeconds(30))
        .until(
            () -> {
              System.gc();
              return canary.get() == null;
            });
    assertThat(series())
        .filteredOn(line -> line.startsWith("borewarden_"))
        .hasSizeGreaterThan(100)
        .noneMatch(line -> line.endsWith("NaN"));
  }

  @Test
  void aNameFromOutsideMakesNoSeriesOfItsOwn() {
    metrics.input().reading("gauge-from-nowhere", Everything.NOON);
    metrics.agent().command("no-such-command", AnswerCode.MALFORMED);
    assertThat(metrics.scrape("")).doesNotContain("nowhere").doesNotContain("no-such");
    assertThat(series())
        .contains("borewarden_readings_total{gauge=\"other\"} 1.0")
        .contains("borewarden_commands_total{command=\"other\",outcome=\"malformed\"} 1.0");
  }

  @Test
  void aLabelOfOurOwnKeysStopsGrowingAtItsLimit() {
    for (int i = 0; i < Meters.LABEL_VALUES_AT_MOST + 5; i++) {
      metrics.input().rejected("bore-60", "why-" + i, 1);
    }
    assertThat(series())
        .contains("borewarden_frames_rejected_total{gauge=\"bore-60\",why=\"other\"} 5.0")
        .filteredOn(line -> line.startsWith("borewarden_frames_rejected_total"))
        .hasSize(Meters.LABEL_VALUES_AT_MOST + 1);
  }

  @Test
  void aCauseIsCountedWhenItIsRaisedAndNotWhileItStands() {
    assertRaised("0.0", view(0));
    assertRaised("1.0", view(1));
    assertRaised("1.0", view(1));
    assertRaised("3.0", view(3));
    assertRaised("3.0", view(0));
    assertRaised("4.0", view(1));
  }

  @Test
  void aCauseThatAStartRestoresIsNotCountedAgain() {
    metrics.holds().restored(view(2));
    assertRaised("0.0", view(2));
    assertRaised("1.0", view(3));
  }

  @Test
  void aBypassCountsItsSecondsWhileItRuns() {
    String total = "borewarden_bypass_seconds_total{cell=\"cell-4\"} ";
    Instant until = Everything.NOON.plusSeconds(900);
    metrics.holds().show(Everything.held(Phase.BYPASSED, List.of(), Optional.of(until)));
    nanos.set(60_000_000_000L);
    assertThat(series()).contains(total + "60.0");
    metrics.holds().show(Everything.held(Phase.BYPASSED, List.of(), Optional.of(until)));
    nanos.set(90_000_000_000L);
    metrics.holds().show(view(1));
    nanos.set(500_000_000_000L);
    assertThat(series()).contains(total + "90.0");
    assertThat(metrics.scrape("")).doesNotContain("borewarden_bypass_end_timestamp");
  }

  @Test
  void anEchoAgesUntilItMoves() {
    String age = "borewarden_echo_age_seconds{cell=\"cell-4\",output=\"modbus\"} ";
    metrics.holds().echoMoved("cell-4", "modbus");
    nanos.set(1_500_000_000L);
    assertThat(series()).contains(age + "1.5");
    metrics.holds().echoMoved("cell-4", "modbus");
    assertThat(series()).contains(age + "0.0");
  }

  @Test
  void exactlyOneStateAndTheStandingConditionsAreShown() {
    metrics.holds().show(Everything.held(Phase.NOT_READY, List.of(), Optional.empty()));
    assertThat(series())
        .contains("borewarden_permit{cell=\"cell-4\"} 0.0")
        .contains("borewarden_hold_state{cell=\"cell-4\",state=\"not-ready\"} 1.0")
        .contains("borewarden_condition_active{cell=\"cell-4\",condition=\"source-lost\"} 1.0")
        .contains("borewarden_condition_active{cell=\"cell-4\",condition=\"link\"} 0.0");
    assertThat(series())
        .filteredOn(l -> l.startsWith("borewarden_hold_state") && l.endsWith(" 1.0"))
        .hasSize(1);
  }

  @Test
  void onlyTheRulesInForceAreShown() {
    metrics.agent().rules("0a1b2c3d4e5f");
    metrics.agent().rules("ffffffffffff");
    assertThat(series())
        .filteredOn(l -> l.startsWith("borewarden_rules_info"))
        .containsExactly("borewarden_rules_info{revision=\"ffffffffffff\"} 1");
  }

  private void assertRaised(String expected, HoldView view) {
    metrics.holds().show(view);
    assertThat(series())
        .contains("borewarden_hold_raised_total{cause=\"forecast\",cell=\"cell-4\"} " + expected);
  }

  private static HoldView view(int count) {
    return count == 0
        ? Everything.held(Phase.PERMITTED, List.of(), Optional.empty())
        : Everything.held(Phase.REQUESTED, List.of(Everything.cause(count)), Optional.empty());
  }

  private List<String> series() {
    return metrics.scrape("").lines().filter(l -> !l.startsWith("#")).toList();
  }
}

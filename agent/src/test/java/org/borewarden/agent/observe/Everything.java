package org.borewarden.agent.observe;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.TrendView;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.AcceptanceZone;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.FormView;

/** An afternoon of the housing cell, so that every series of ours stands in the scrape. */
final class Everything {
  static final Instant NOON = Instant.parse("2026-03-02T12:00:00.250Z");

  private Everything() {}

  static Metrics metrics(MonotonicClock clock) {
    return metrics(clock, Optional.empty());
  }

  static Metrics metrics(MonotonicClock clock, Optional<Sending> sending) {
    return new Metrics(
        new KnownIds(Set.of("bore-60"), Set.of("cell-4"), Set.of("release", "tool-changed")),
        clock,
        sending);
  }

  /** Capability of 60 bores of two lives; drifting, they bear no Cp. */
  static CapabilityView capability(boolean level) {
    Optional<CapabilityView.Value> ratio =
        Optional.of(
            new CapabilityView.Value(1.41, OptionalDouble.of(1.15), OptionalDouble.of(1.66)));
    return new CapabilityView(
        2,
        false,
        60,
        !level,
        "residual",
        level ? ratio : Optional.empty(),
        level ? ratio : Optional.empty(),
        ratio,
        ratio,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        0,
        0,
        OptionalDouble.empty(),
        OptionalDouble.empty());
  }

  /** The ovality of 60 bores. */
  static FormView form(OptionalDouble ppk) {
    return new FormView(
        "ovality",
        2,
        false,
        60,
        2e-6,
        5e-6,
        OptionalDouble.empty(),
        ppk,
        OptionalDouble.empty(),
        0,
        0.049);
  }

  static void feed(Metrics metrics) {
    metrics.input().expect("bore-60");
    metrics.input().reading("bore-60", NOON);
    metrics.input().rejected("bore-60", "too-long", 3);
    metrics.input().connected("bore-60", true);
    metrics.input().sample("bore-60");
    metrics.input().battery("bore-60", true);
    metrics.input().overrun("bore-60");
    metrics.input().ringCheckDue("bore-60", Optional.of(NOON));
    metrics.input().belief("bore-60", Optional.of(Belief.GOOD));
    metrics.bores().features(List.of("bearing-seat"));
    metrics.bores().judged(judged("bearing-seat", mm("62.012"), mm("62.000"), Verdict.WITHIN));
    metrics.bores().untilLimit("bearing-seat", OptionalInt.of(38));
    metrics.bores().capability(trend(Optional.of(capability(true)), Optional.empty(), List.of()));
    metrics.bores().found(forecast("forecast/bearing-seat/drift"));
    metrics.holds().show(held(Phase.REQUESTED, List.of(cause(1)), Optional.of(NOON)));
    metrics.holds().inCycle("cell-4", true);
    metrics.holds().link("cell-4", "modbus", true);
    metrics.holds().beat("cell-4", "modbus", Duration.ofMillis(260));
    metrics.holds().echoMoved("cell-4", "modbus");
    metrics.holds().withdrawn(Duration.ofMillis(3));
    metrics.holds().refused("cell-4", "peer");
    metrics.holds().testPassed("cell-4", NOON);
    metrics.holds().testDue("cell-4", Optional.of(NOON));
    metrics.holds().released("cell-4", "no", Optional.of("measured"));
    metrics.journal().writable(true);
    metrics.journal().commit(Duration.ofMillis(2));
    metrics.journal().dataFree(() -> 12_000_000_000L);
    metrics.journal().outbox(7, Optional.of(NOON));
    metrics.journal().deadLetter("too-large");
    metrics.journal().size(52_428_800);
    metrics.journal().retired(1_000);
    metrics.journal().leftUnsent(3);
    metrics.brokers().connected("record", true);
    metrics.brokers().published(Duration.ofMillis(4));
    metrics.agent().started("0.1.0", NOON, 2);
    metrics.agent().inbox(() -> 5);
    metrics.agent().loopTurn(Duration.ofNanos(80_000));
    metrics.agent().clockSynchronised(Optional.of(true));
    metrics.agent().clockStepped();
    metrics.agent().command("release", AnswerCode.ACCEPTED);
    metrics.agent().rules("0a1b2c3d4e5f");
    metrics.agent().certificateExpires("broker-client", NOON);
  }

  static TrendView trend(
      Optional<CapabilityView> lives, Optional<CapabilityView> window, List<FormView> forms) {
    return new TrendView(
        "bearing-seat",
        30,
        30,
        30,
        Verdict.WITHIN,
        OptionalDouble.empty(),
        0,
        Optional.empty(),
        lives,
        window,
        forms,
        Optional.empty());
  }

  static Length mm(String decimal) {
    return new Length(new java.math.BigDecimal(decimal).movePointRight(9).longValueExact());
  }

  static Decision.BoreJudged judged(String feature, Length value, Length nominal, Verdict verdict) {
    Limits limits = new Limits(Optional.of(nominal), Optional.of(nominal.plus(mm("0.030"))));
    Action note = new Action(Action.Level.NOTE, StopKind.END_OF_PART, Optional.empty());
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, note);
    return new Decision.BoreJudged(
        new Feature(
            feature,
            1,
            "housing",
            "bore-60",
            Optional.empty(),
            Optional.of("cell-4"),
            Optional.empty(),
            nominal,
            limits,
            Unit.MILLIMETRE,
            new DecisionRule.Simple(),
            Optional.empty(),
            1,
            out,
            out,
            List.of()),
        new Bore(feature, 1, value, Unit.MILLIMETRE, 3, List.of(1L), PartContext.NONE),
        new Judgement(
            verdict,
            Optional.empty(),
            true,
            OptionalDouble.empty(),
            limits,
            new AcceptanceZone(limits.lower(), limits.upper()),
            new DecisionRule.Simple(),
            List.of()));
  }

  static Finding forecast(String key) {
    return new Finding(
        key,
        "bearing-seat",
        Reason.FORECAST,
        new Action(Action.Level.HOLD, StopKind.END_OF_PART, Optional.empty()),
        OptionalInt.of(12),
        "12 bores until the upper limit");
  }

  static Cause cause(int count) {
    return new Cause(
        "forecast/bearing-seat/drift",
        Reason.FORECAST,
        Optional.of("bearing-seat"),
        StopKind.END_OF_PART,
        40,
        count);
  }

  static HoldView held(Phase phase, List<Cause> causes, Optional<Instant> bypassUntil) {
    return new HoldView(
        "cell-4",
        phase,
        phase.permits(),
        Optional.of(StopKind.END_OF_PART),
        causes.isEmpty() ? 0 : 3,
        7,
        causes,
        List.of(new Condition(Reason.SOURCE_LOST, Optional.of("bore-60"))),
        phase == Phase.HEARD,
        false,
        0,
        bypassUntil,
        List.of(),
        NOON,
        "agent",
        false,
        "c4a11e49e");
  }
}

package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.Trace;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RingSigns.Says;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.Reading;

/**
 * Whether the gauges may be believed. A gauge of which the rules ask no ring check is believed as
 * it is, and nothing is remembered of it here.
 */
final class Truths {
  static final String TIMER = "ring:";

  /** How long a ring may be on a gauge before its next readings are of parts again. */
  static final Duration SESSION = Duration.ofMinutes(10);

  private static final String DUE = "due:";
  private static final String ON = "on:";

  private Truths() {}

  private static Optional<RingChecks> checks(Work work, String gauge) {
    return work.rules.flatMap(rules -> rules.gauge(gauge)).flatMap(GaugeRules::checks);
  }

  static GaugeTruth truth(Work work, String gauge) {
    return work.truths.getOrDefault(gauge, GaugeTruth.NONE);
  }

  /** Why a feature's gauge may not be believed; empty where it may. */
  static Optional<String> doubt(Work work, Feature feature) {
    return checks(work, feature.gauge())
        .flatMap(checks -> truth(work, feature.gauge()).belief().doubt());
  }

  /** On what a verdict rests. */
  static Optional<Trace> trace(Work work, Feature feature) {
    return checks(work, feature.gauge())
        .flatMap(checks -> truth(work, feature.gauge()).lastGood())
        .map(
            good ->
                new Trace(
                    good.ring(),
                    work.rules.flatMap(r -> r.ring(good.ring())).flatMap(Ring::certificate),
                    good.seq(),
                    truth(work, feature.gauge()).mastered()));
  }

  /** Takes a reading of a ring; false where it is one of a part. */
  static boolean onRing(Work work, Reading reading) {
    Optional<RingChecks> checks = checks(work, reading.gauge());
    GaugeTruth truth = truth(work, reading.gauge());
    if (checks.isEmpty()) {
      return false;
    }
    Says says = says(work, checks.get(), reading);
    if (says == Says.MASTERED) {
      // The value is what the gauge was set to; how it was left, the next readings show.
      begin(work, reading.gauge(), checks.get().ring(), true, false);
      return true;
    }
    if (says == Says.OF_THE_RING && truth.session().isEmpty()) {
      begin(work, reading.gauge(), checks.get().ring(), false, true);
      truth = truth(work, reading.gauge());
    }
    boolean ofPart =
        truth.session().map(GaugeTruth.Session::signed).orElse(true) && says == Says.NOTHING;
    if (ofPart) {
      return false;
    }
    GaugeTruth.Session open = truth.session().orElseThrow();
    GaugeTruth.Session session = open.with(Warmth.onRing(work, open.ring(), reading).value());
    put(work, reading.gauge(), truth.withSession(Optional.of(session)));
    if (session.readings().size() >= checks.get().readings()) {
      work.effect(new Effect.TimerCleared(TIMER + ON + reading.gauge()));
      RingTruth.checked(work, reading.gauge(), checks.get(), session);
    }
    return true;
  }

  private static Says says(Work work, RingChecks checks, Reading reading) {
    return work.rules
        .flatMap(rules -> rules.ring(checks.ring()))
        .map(ring -> checks.signs().says(reading, ring.size()))
        .orElse(Says.NOTHING);
  }

  /** A verdict was given: it may have to be looked at again when the next check fails. */
  static void judged(Work work, Feature feature, Bore bore, Judgement judgement, long seq) {
    String gauge = feature.gauge();
    Optional<RingChecks> checks = checks(work, gauge);
    if (checks.isEmpty() || judgement.verdict() == Verdict.WITHHELD) {
      return;
    }
    FeatureState state = work.feature(feature.id());
    GaugeTruth truth =
        truth(work, gauge)
            .withBore(
                new LoggedBore(
                    seq,
                    work.at(),
                    feature.id(),
                    bore.part(),
                    bore.context().serial(),
                    bore.judged(),
                    feature.nominal(),
                    state.acceptance(),
                    judgement.verdict(),
                    state.bores() > 0 && state.segmentBores() == 0));
    work.truths.put(gauge, truth);
    OptionalInt every = checks.get().everyBores();
    if (every.isPresent() && truth.log().size() >= every.getAsInt()) {
      due(work, gauge);
    }
  }

  static void discarded(Work work, Feature feature, long seq) {
    GaugeTruth truth = truth(work, feature.gauge());
    if (truth.log().size() > 0) {
      work.truths.put(
          feature.gauge(), truth.withLog(truth.log().without(bore -> bore.seq() == seq)));
    }
  }

  private static void due(Work work, String gauge) {
    GaugeTruth truth = truth(work, gauge);
    if (!truth.due()) {
      put(work, gauge, truth.withDue());
      Alerts.ringCheckDue(work, gauge);
    }
  }

  static void timeUp(Work work, String what) {
    if (what.startsWith(DUE)) {
      String gauge = what.substring(DUE.length());
      checks(work, gauge).ifPresent(checks -> due(work, gauge));
    } else if (what.startsWith(ON)) {
      String gauge = what.substring(ON.length());
      if (truth(work, gauge).session().isPresent()) {
        put(work, gauge, truth(work, gauge).withSession(Optional.empty()));
      }
    }
  }

  static void dueAfter(Work work, String gauge, RingChecks checks) {
    Alerts.returned(work, Alerts.ringCheckKey(gauge));
    checks.every().ifPresent(time -> work.effect(new Effect.TimerSet(TIMER + DUE + gauge, time)));
  }

  static AnswerCode ordered(Work work, Order.OfGauge order) {
    String gauge = order.gauge();
    Optional<RingChecks> checks = checks(work, gauge);
    if (checks.isEmpty()) {
      return AnswerCode.MALFORMED;
    }
    if (order instanceof Order.GaugeDisturbed) {
      put(work, gauge, truth(work, gauge).disturbed());
      conditions(work);
      return AnswerCode.ACCEPTED;
    }
    boolean mastered = order instanceof Order.Mastered;
    Optional<String> named =
        order instanceof Order.RingCheck check ? check.ring() : ((Order.Mastered) order).ring();
    String ring = named.orElse(checks.get().ring());
    if (work.rules.flatMap(rules -> rules.ring(ring)).isEmpty()) {
      return AnswerCode.MALFORMED;
    }
    begin(work, gauge, ring, mastered, false);
    return AnswerCode.ACCEPTED;
  }

  /** The next readings are of a ring. */
  private static void begin(
      Work work, String gauge, String ring, boolean mastered, boolean signed) {
    if (mastered) {
      RingTruth.mastered(work, gauge);
      Warmth.mastered(work, gauge);
    } else {
      Warmth.checkBegins(work, gauge);
    }
    GaugeTruth.Session session =
        new GaugeTruth.Session(
            ring, mastered ? OptionalLong.of(work.seq()) : OptionalLong.empty(), signed, List.of());
    put(work, gauge, truth(work, gauge).withSession(Optional.of(session)));
    work.effect(new Effect.TimerSet(TIMER + ON + gauge, SESSION));
    conditions(work);
  }

  /** After a start nobody can say whether a ring is still on a gauge. */
  static void restarted(Work work) {
    for (String gauge : List.copyOf(work.truths.keySet())) {
      GaugeTruth truth = truth(work, gauge);
      if (truth.session().isPresent()) {
        work.effect(new Effect.TimerCleared(TIMER + ON + gauge));
        put(work, gauge, truth.withSession(Optional.empty()));
      }
    }
  }

  /** Gauges that are checked no more are forgotten; those that are newly checked are unknown. */
  static void loaded(Work work, RuleSet rules) {
    List<String> checked =
        rules.gauges().stream().filter(g -> g.checks().isPresent()).map(GaugeRules::id).toList();
    for (String gauge : List.copyOf(work.truths.keySet())) {
      if (!checked.contains(gauge)) {
        work.truths.remove(gauge);
        work.effect(new Effect.TimerCleared(TIMER + ON + gauge));
        work.effect(new Effect.TimerCleared(TIMER + DUE + gauge));
        Alerts.returned(work, Alerts.ringCheckKey(gauge));
        Gauges.shown(work, gauge, Optional.empty());
      }
    }
    for (String gauge : checked) {
      put(work, gauge, truth(work, gauge));
    }
  }

  /** A gauge that may not be believed withholds the permit of the cells whose bores it measures. */
  static void conditions(Work work) {
    for (CellState cell : List.copyOf(work.cells.values())) {
      String id = cell.policy().cell();
      for (Condition stood : List.copyOf(cell.hold().conditions())) {
        boolean doubted = stood.subject().map(gauge -> doubted(work, id, gauge)).orElse(false);
        if (stood.reason() == Reason.GAUGE_BELIEF && !doubted) {
          Holding.clear(work, id, stood);
        }
      }
      for (String gauge : work.truths.keySet()) {
        Condition belief = new Condition(Reason.GAUGE_BELIEF, Optional.of(gauge));
        if (doubted(work, id, gauge)) {
          Holding.set(work, id, belief);
        } else {
          Alerts.conditionGone(work, id, belief);
        }
      }
    }
  }

  private static boolean doubted(Work work, String cell, String gauge) {
    return work.truths.containsKey(gauge)
        && truth(work, gauge).belief() != Belief.GOOD
        && work.rules.isPresent()
        && work.rules.get().features().stream()
            .anyMatch(f -> f.gauge().equals(gauge) && f.cell().equals(Optional.of(cell)));
  }

  static void put(Work work, String gauge, GaugeTruth truth) {
    work.truths.put(gauge, truth);
    Gauges.shown(work, gauge, Optional.of(truth));
  }
}

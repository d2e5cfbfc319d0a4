package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.part.Streams;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;

/** A bearing seat under one watch, walked bore by bore. */
final class Seat {
  static final Action ALERT =
      new Action(Action.Level.ALERT, StopKind.END_OF_PART, Optional.empty());
  static final Action HOLD = new Action(Action.Level.HOLD, StopKind.END_OF_PART, Optional.empty());

  final Feature feature;
  final Acceptance acceptance;
  final WatchRule rule;
  WatchState state;

  Seat(Length nominal, Limits limits, Length centre, DecisionRule decision, WatchRule rule) {
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, ALERT);
    this.feature =
        new Feature(
            "seat",
            1,
            "housing",
            "g1",
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            nominal,
            limits,
            Unit.MILLIMETRE,
            decision,
            Optional.of(centre),
            1,
            out,
            out,
            List.of(rule));
    this.acceptance = Acceptance.of(limits, decision);
    this.rule = rule;
    this.state = Watches.start(rule);
  }

  /** 62.000 mm, +30/0 um, simple acceptance. */
  static Seat of(WatchRule rule) {
    return new Seat(
        new Length(62_000_000_000L),
        new Limits(
            Optional.of(new Length(62_000_000_000L)), Optional.of(new Length(62_030_000_000L))),
        new Length(62_015_000_000L),
        new DecisionRule.Simple(),
        rule);
  }

  static WatchRule.Forecast forecast(Optional<Length> sigma, int successive) {
    return new WatchRule.Forecast(
        "wear",
        0.95,
        12,
        sigma,
        4,
        OptionalInt.of(10),
        OptionalInt.of(4),
        successive,
        ALERT,
        HOLD,
        Optional.empty());
  }

  WatchStep bore(long part, Length deviation) {
    Length value = feature.nominal().plus(deviation);
    return bore(part, value, Judge.judge(acceptance, value));
  }

  /** The same seat with its bores put in another order. */
  Seat ordered(PartOrder order) {
    Streams streams = new Streams(order, List.of());
    return new Seat(feature.withStreams(streams), acceptance, rule);
  }

  private Seat(Feature feature, Acceptance acceptance, WatchRule rule) {
    this.feature = feature;
    this.acceptance = acceptance;
    this.rule = rule;
    this.state = Watches.start(rule);
  }

  /** A bore of a part of which only the serial is known; counted on where that has no number. */
  WatchStep bore(long counted, String serial, Length deviation) {
    PartContext context =
        new PartContext(
            OptionalLong.empty(),
            serial.equals("-") ? Optional.empty() : Optional.of(serial),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    Length value = feature.nominal().plus(deviation);
    long part = feature.streams().place(context).orElse(counted);
    return bore(part, value, Judge.judge(acceptance, value), context);
  }

  WatchStep withheld(long part) {
    Judgement judged = Judge.judge(acceptance, feature.nominal());
    return bore(
        part,
        feature.nominal(),
        new Judgement(
            Verdict.WITHHELD,
            Optional.empty(),
            judged.inside(),
            judged.conformity(),
            judged.limits(),
            judged.acceptance(),
            judged.rule(),
            List.of()));
  }

  private WatchStep bore(long part, Length value, Judgement judgement) {
    return bore(part, value, judgement, PartContext.NONE);
  }

  private WatchStep bore(long part, Length value, Judgement judgement, PartContext context) {
    Bore bore = new Bore("seat", part, value, Unit.MILLIMETRE, 3, List.of(part), context);
    return taken(Watches.step(rule, state, feature, acceptance, bore, judgement));
  }

  WatchStep newSegment(SegmentCause cause) {
    return taken(Watches.newSegment(rule, state, feature, cause));
  }

  private WatchStep taken(WatchStep step) {
    state = step.next();
    return step;
  }
}

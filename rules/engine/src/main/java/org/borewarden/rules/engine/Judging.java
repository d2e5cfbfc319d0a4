package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.gauge.Doubt;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.BeliefCheck.Outcome;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.PooledSlope;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;

/** A reading on its way: bore, verdict, watches, findings. */
final class Judging {
  /** The caution of a size that says nothing of the envelope that the drawing asks for. */
  static final String NO_ENVELOPE = "envelope-not-provable";

  private Judging() {}

  static void take(Work work, Reading reading) {
    Gauges.gave(work, reading);
    Optional<Doubt> bounce = Beliefs.bounce(work, reading);
    if (bounce.filter(b -> b.then() == Outcome.REJECT).isPresent()) {
      Beliefs.rejected(work, reading, Optional.empty(), bounce.get());
      return;
    }
    if (Truths.onRing(work, reading)) {
      return;
    }
    Optional<Feature> feature = Rounds.featureOf(work, reading);
    if (feature.isEmpty()) {
      work.decide(new Decision.ReadingUnassigned(reading.gauge()));
      return;
    }
    Work.Mark mark = work.mark();
    try {
      believe(work, feature.get(), reading, bounce);
    } catch (RuntimeException fault) {
      work.back(mark);
      notJudged(work, feature.get(), fault);
    }
  }

  private static void believe(Work work, Feature feature, Reading reading, Optional<Doubt> bounce) {
    Optional<Doubt> doubt = Beliefs.of(work, feature, reading, bounce);
    if (doubt.filter(d -> d.then() == Outcome.REJECT).isPresent()) {
      Beliefs.rejected(work, reading, Optional.of(feature), doubt.get());
    } else {
      judge(work, feature, reading, doubt);
    }
  }

  /** One feature that cannot be judged must not take the others with it. */
  private static void notJudged(Work work, Feature feature, RuntimeException fault) {
    work.decide(new Decision.NotJudged(feature.id(), fault.getClass().getName()));
    work.effect(new Effect.Faulted(feature.id(), fault));
    work.features.put(feature.id(), work.feature(feature.id()).withFault());
    feature
        .cell()
        .ifPresent(
            cell ->
                Holding.set(
                    work, cell, new Condition(Reason.NOT_JUDGED, Optional.of(feature.id()))));
  }

  private static void judge(Work work, Feature feature, Reading raw, Optional<Doubt> doubt) {
    FeatureState before = work.feature(feature.id());
    Warmth.Judged warmth = Warmth.of(work, feature, before.acceptance(), raw);
    Reading reading = warmth.reading();
    if (!feature.measuring().equals(Measuring.SINGLE)) {
      // The readings of one bore may differ in temperature: its guard bands stay the widest.
      Bores.take(work, feature, reading, doubt.map(Beliefs::note));
      return;
    }
    PartContext context = context(work, feature);
    Bore bore =
        new Bore(
            feature.id(),
            partOf(work, before, context),
            reading.value(),
            reading.unit(),
            reading.decimals(),
            List.of(work.seq()),
            context,
            Optional.empty(),
            Truths.trace(work, feature));
    Judgement sized = Judge.judge(warmth.acceptance(), reading.value());
    Judgement judgement =
        doubt
            .filter(d -> d.then() == Outcome.CAUTION)
            .map(d -> sized.withCaution(d.why()))
            .orElse(sized);
    Judgement believed =
        Truths.doubt(work, feature)
            .or(() -> doubt.filter(d -> d.then() == Outcome.WITHHOLD).map(Doubt::why))
            .map(why -> Bores.withheld(judgement, why))
            .orElse(judgement);
    finish(work, feature, bore, believed, judgement.verdict(), List.of());
  }

  /** The part's number: what the context says by the feature's order, else counted on. */
  static long partOf(Work work, FeatureState before, PartContext context) {
    Feature feature = before.feature();
    OptionalLong place = feature.streams().place(context);
    if (place.isPresent()) {
      return place.getAsLong();
    }
    // A part that was cut before takes no new place in the order.
    Optional<Piece> next = Shifts.of(work, feature.id()).next();
    if (next.isEmpty() && Rounds.again(work, feature)) {
      return before.lastPart();
    }
    return next.isPresent()
        ? Shifts.reworked(work, feature).map(ShiftState.Recent::part).orElse(before.lastPart())
        : before.lastPart() + feature.sampledEvery();
  }

  /**
   * A bore is complete, or gets no more readings.
   *
   * @param wouldBe what it would be if it could be believed
   * @param more what was found beside the verdict
   */
  static void finish(
      Work work,
      Feature feature,
      Bore bore,
      Judgement judgement,
      Verdict wouldBe,
      List<Finding> more) {
    FeatureState before = work.feature(feature.id());
    boolean withheld = judgement.verdict() == Verdict.WITHHELD;
    Optional<Piece> named = Shifts.of(work, feature.id()).next();
    long verdictSeq = work.nextSeq();
    Judgement told = feature.asksEnvelope() ? judgement.withCaution(NO_ENVELOPE) : judgement;
    Beside beside = withheld ? Beside.NONE : Shifts.beside(work, feature, bore, judgement);
    work.decide(new Decision.BoreJudged(feature, bore, told, beside));
    FeatureState after =
        withheld
            ? before.withWithheld(bore.part())
            : beside.ofThisRun() ? remembered(before, bore, judgement) : before.judgedAside();
    if (beside.ofThisRun()) {
      Truths.judged(work, feature, bore, judgement, verdictSeq);
    }
    work.features.put(feature.id(), after);
    clearFault(work, feature, before);
    List<Finding> findings =
        new ArrayList<>(
            Pieces.findings(
                feature, bore, judgement, beside, Outs.ofVerdict(feature, bore, judgement)));
    List<String> cleared = new ArrayList<>();
    if (beside.ofThisRun()) {
      cleared.addAll(Outs.clearedByVerdict(feature, bore, judgement.verdict()));
      cleared.add(Outs.key(Reason.CHALLENGE, feature));
    } else if (findings.stream().noneMatch(f -> f.reason() == Reason.CHALLENGE_FAILED)) {
      cleared.add(Outs.key(Reason.CHALLENGE_FAILED, feature));
      if (findings.stream().anyMatch(Judging::provesTheHold)) {
        ChallengesDue.seen(work, feature);
      }
    }
    findings.addAll(more);
    if (!withheld) {
      boolean within = judgement.verdict() == Verdict.WITHIN;
      cleared.addAll(Shifts.judged(work, feature, bore, beside, within, verdictSeq));
    }
    evidence(work, feature, bore, judgement, wouldBe, findings, cleared);
    if (beside.inStreams()) {
      // The pool first: the forecast asks it how many bores a part has, this one among them.
      List<Finding> pooled = new ArrayList<>();
      List<String> returned = new ArrayList<>();
      PooledStreams.judged(work, feature, bore, judgement, pooled, returned);
      watch(work, after, bore, judgement, findings, cleared);
      findings.addAll(pooled);
      cleared.addAll(returned);
    }
    boolean held = Findings.take(work, feature, findings, cleared);
    boolean good =
        judgement.verdict() == Verdict.WITHIN
            && bore.measured().map(Measured::formGood).orElse(true);
    feature
        .cell()
        .filter(cell -> beside.ofThisRun())
        .ifPresent(
            cell ->
                Holding.judged(
                    work,
                    cell,
                    new Holding.Judged(
                        feature.id(), verdictSeq, good, withheld, held, bore.context().part())));
    FeatureState judged = work.feature(feature.id());
    work.features.put(feature.id(), judged.withLast(verdictSeq, work.seq(), before.withoutLast()));
    work.effect(new Effect.TrendMoved(judged.view()));
    Rounds.done(work, feature, named);
  }

  /** Bores that were withheld, and first readings that were out and then not. */
  private static void evidence(
      Work work,
      Feature feature,
      Bore bore,
      Judgement judgement,
      Verdict wouldBe,
      List<Finding> findings,
      List<String> cleared) {
    Tally before = work.tallies.getOrDefault(feature.id(), Tally.NONE);
    if (judgement.verdict() == Verdict.WITHHELD) {
      Tally tally = before.withheldBore();
      work.tallies.put(feature.id(), tally);
      if (wouldBe.isOut() && findings.isEmpty()) {
        findings.add(Outs.notJudged(feature, bore.part(), wouldBe));
      }
      if (tally.withheld() == Tally.WITHHELD_IN_A_ROW) {
        findings.add(Outs.noEvidence(feature, tally.withheld()));
      }
      return;
    }
    boolean confirmed = feature.measuring().confirmation().isPresent();
    if (!confirmed && before.withheld() == 0) {
      return;
    }
    boolean backIn = bore.measured().map(m -> m.notes().contains(Bores.FIRST_OUT)).orElse(false);
    Tally tally = before.bore(backIn);
    work.tallies.put(feature.id(), tally);
    if (before.withheld() > 0) {
      cleared.add(Outs.key(Reason.WITHHELD, feature));
      cleared.add(Outs.key(Reason.NO_EVIDENCE, feature));
    }
    if (tally.tooMany() && backIn) {
      findings.add(Outs.backIn(feature, tally));
    } else if (before.tooMany() && !tally.tooMany()) {
      cleared.add(Outs.key(Reason.CONFIRMED_IN, feature));
    }
  }

  static PartContext context(Work work, Feature feature) {
    return Shifts.reworked(work, feature)
        .map(ShiftState.Recent::context)
        .orElseGet(
            () -> feature.cell().map(work.cells::get).map(CellState::part).orElse(PartContext.NONE))
        .atFeature(Optional.empty());
  }

  private static FeatureState remembered(FeatureState before, Bore bore, Judgement judgement) {
    boolean within = judgement.verdict() == Verdict.WITHIN;
    return new FeatureState(
        before.feature(),
        before.acceptance(),
        before.watches(),
        before.bores() + 1,
        before.segmentBores() + 1,
        Math.max(before.lastPart(), bore.part()),
        Optional.of(judgement.verdict()),
        OptionalDouble.of(bore.followed().minus(before.feature().nominal()).metres()),
        before.forecasts(),
        within ? OptionalLong.of(bore.part()) : before.lastWithinPart(),
        false,
        Optional.empty());
  }

  /** A challenge piece that is only told of proves nothing of the way to the cell. */
  private static boolean provesTheHold(Finding finding) {
    return finding.reason() == Reason.CHALLENGE && finding.action().level() == Action.Level.HOLD;
  }

  private static void clearFault(Work work, Feature feature, FeatureState before) {
    if (before.faulted()) {
      feature
          .cell()
          .ifPresent(
              cell ->
                  Holding.clear(
                      work, cell, new Condition(Reason.NOT_JUDGED, Optional.of(feature.id()))));
    }
  }

  private static void watch(
      Work work,
      FeatureState state,
      Bore bore,
      Judgement judgement,
      List<Finding> findings,
      List<String> cleared) {
    Map<String, WatchState> next = new HashMap<>(state.watches());
    Optional<ForecastView> forecast = Optional.empty();
    String stream = state.stream(bore.context());
    PooledSlope pooled = PooledStreams.slope(work, state, bore);
    for (WatchRule rule : state.watchesOf(stream)) {
      WatchStep step =
          Watches.step(
              rule,
              state.watch(rule),
              state.feature(),
              state.acceptance(),
              bore,
              judgement,
              pooled);
      next.put(rule.id(), step.next());
      findings.addAll(step.findings());
      cleared.addAll(step.cleared());
      if (step.forecast().isPresent()) {
        forecast = step.forecast();
      }
    }
    work.features.put(
        state.feature().id(),
        state.withWatches(next).withForecasts(state.forecasts().with(stream, forecast)));
  }
}

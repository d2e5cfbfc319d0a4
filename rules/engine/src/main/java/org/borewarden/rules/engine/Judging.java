package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;

/** A reading on its way: bore, verdict, watches, findings. */
final class Judging {
  private Judging() {}

  static void take(Work work, Reading reading) {
    Gauges.gave(work, reading.gauge());
    Optional<Feature> feature =
        work.rules.flatMap(rules -> rules.measuredBy(reading.gauge(), reading.input()));
    if (feature.isEmpty()) {
      work.decide(new Decision.ReadingUnassigned(reading.gauge()));
      return;
    }
    Work.Mark mark = work.mark();
    try {
      judge(work, feature.get(), reading);
    } catch (RuntimeException fault) {
      work.back(mark);
      notJudged(work, feature.get(), fault);
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

  private static void judge(Work work, Feature feature, Reading reading) {
    FeatureState before = work.feature(feature.id());
    PartContext context = context(work, feature);
    long part = context.part().orElse(before.lastPart() + feature.sampledEvery());
    Bore bore =
        new Bore(
            feature.id(),
            part,
            reading.value(),
            reading.unit(),
            reading.decimals(),
            List.of(work.seq()),
            context);
    Judgement judgement = Judge.judge(before.acceptance(), reading.value());
    long verdictSeq = work.nextSeq();
    work.decide(new Decision.BoreJudged(feature, bore, judgement));
    FeatureState after = remembered(before, bore, judgement);
    work.features.put(feature.id(), after);
    clearFault(work, feature, before);
    List<Finding> findings = new ArrayList<>(ofVerdict(feature, bore, judgement));
    List<String> cleared = new ArrayList<>(clearedByVerdict(feature, judgement.verdict()));
    watch(work, after, bore, judgement, findings, cleared);
    boolean held = Findings.take(work, feature, findings, cleared);
    feature
        .cell()
        .ifPresent(
            cell ->
                Holding.judged(
                    work,
                    cell,
                    new Holding.Judged(
                        feature.id(), verdictSeq, judgement.verdict(), held, context.part())));
    FeatureState judged = work.feature(feature.id());
    work.features.put(feature.id(), judged.withLast(verdictSeq, before.withoutLast()));
    work.effect(new Effect.TrendMoved(judged.view()));
  }

  private static PartContext context(Work work, Feature feature) {
    return feature.cell().map(work.cells::get).map(CellState::part).orElse(PartContext.NONE);
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
        OptionalDouble.of(bore.value().minus(before.feature().nominal()).metres()),
        before.forecast(),
        within ? OptionalLong.of(bore.part()) : before.lastWithinPart(),
        false,
        Optional.empty());
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
    for (WatchRule rule : state.feature().watches()) {
      WatchStep step =
          Watches.step(
              rule, state.watch(rule.id()), state.feature(), state.acceptance(), bore, judgement);
      next.put(rule.id(), step.next());
      findings.addAll(step.findings());
      cleared.addAll(step.cleared());
      if (step.forecast().isPresent()) {
        forecast = step.forecast();
      }
    }
    work.features.put(state.feature().id(), state.withWatches(next).withForecast(forecast));
  }

  private static List<Finding> ofVerdict(Feature feature, Bore bore, Judgement judgement) {
    return switch (judgement.verdict()) {
      case UNDERSIZE -> List.of(out(feature, bore, Reason.UNDERSIZE, feature.undersize().action()));
      case OVERSIZE -> List.of(out(feature, bore, Reason.OVERSIZE, feature.oversize().action()));
      case WITHIN, UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> List.of();
    };
  }

  private static Finding out(Feature feature, Bore bore, Reason reason, Action action) {
    return new Finding(
        key(reason, feature),
        feature.id(),
        reason,
        action,
        OptionalInt.empty(),
        feature.id() + " of part " + bore.part() + " is " + reason.key());
  }

  private static List<String> clearedByVerdict(Feature feature, Verdict verdict) {
    return verdict == Verdict.WITHIN
        ? List.of(key(Reason.UNDERSIZE, feature), key(Reason.OVERSIZE, feature))
        : List.of();
  }

  private static String key(Reason reason, Feature feature) {
    return reason.key() + "/" + feature.id();
  }
}

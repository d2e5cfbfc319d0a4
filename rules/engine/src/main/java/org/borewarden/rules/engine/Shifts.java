package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.engine.ShiftState.Batch;
import org.borewarden.rules.engine.ShiftState.Counts;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.ShiftRules;
import org.borewarden.rules.part.ShiftRules.After;
import org.borewarden.rules.part.ShiftRules.Also;
import org.borewarden.rules.part.ShiftRules.FirstOff;
import org.borewarden.rules.part.ShiftRules.Sampling;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.SegmentCause;

/**
 * The moments of a shift (metrology.md 6): first-offs, how often a part is measured, batches, and
 * what a part at the gauge is where it is not the next one of the run.
 */
final class Shifts {
  static final String TIMER = "sampling:";

  private Shifts() {}

  static ShiftState of(Work work, String feature) {
    return work.shifts.getOrDefault(feature, ShiftState.NONE);
  }

  private static Optional<ShiftRules> rules(Work work, Feature feature) {
    return work.rules.flatMap(rules -> rules.shift(feature.id()));
  }

  private static Optional<FirstOff> firstOff(Work work, Feature feature) {
    return rules(work, feature).flatMap(ShiftRules::firstOff);
  }

  private static Optional<Sampling> sampling(Work work, Feature feature) {
    return rules(work, feature).flatMap(ShiftRules::sampling);
  }

  /** The bore that is reworked, where a person named it: its part is at the gauge once more. */
  static Optional<ShiftState.Recent> reworked(Work work, Feature feature) {
    ShiftState state = of(work, feature.id());
    return state
        .next()
        .map(Piece::of)
        .filter(OptionalLong::isPresent)
        .flatMap(of -> state.recent(of.getAsLong()));
  }

  /** What is said of a bore beside its verdict. */
  static Beside beside(Work work, Feature feature, Bore bore, Judgement judgement) {
    boolean within = judgement.verdict() == Verdict.WITHIN;
    return new Beside(
        piece(work, feature, bore),
        rules(work, feature).filter(r -> within).flatMap(r -> r.classOf(bore.value())),
        Concessions.of(work, feature, bore, judgement));
  }

  private static Optional<Piece> piece(Work work, Feature feature, Bore bore) {
    ShiftState state = of(work, feature.id());
    if (state.next().isPresent()) {
      return state.next();
    }
    Optional<ShiftState.Recent> last = state.newestOfThisRun().filter(r -> r.part() == bore.part());
    if (last.isPresent()) {
      return Optional.of(Piece.of(Piece.Kind.MEASURED_AGAIN, OptionalLong.of(last.get().seq())));
    }
    return state.counts().firstOffs() > 0
        ? Optional.of(Piece.of(Piece.Kind.FIRST_OFF, OptionalLong.empty()))
        : Optional.empty();
  }

  /** A believed bore was judged. Returns the keys of what stands no longer. */
  static List<String> judged(
      Work work, Feature feature, Bore bore, Beside beside, boolean within, long seq) {
    ShiftState state = of(work, feature.id());
    ShiftState.Recent recent =
        new ShiftState.Recent(seq, bore.part(), bore.context(), beside.ofThisRun());
    if (!beside.ofThisRun()) {
      boolean rework = beside.piece().filter(p -> p.kind() == Piece.Kind.REWORK).isPresent();
      work.shifts.put(
          feature.id(), rework ? state.judgedAside(recent) : state.withNext(Optional.empty()));
      return List.of();
    }
    Counts counts = state.counts().measured();
    Optional<FirstOff> asks = firstOff(work, feature).filter(f -> counts.firstOffs() > 0);
    boolean again = beside.piece().filter(p -> p.kind() == Piece.Kind.MEASURED_AGAIN).isPresent();
    boolean good = within && asks.map(f -> inZone(feature, f, bore.followed())).orElse(false);
    Counts after =
        asks.filter(f -> !(again && good))
            .map(f -> counts.pending(good ? counts.firstOffs() - 1 : f.bores(), counts.partsCut()))
            .orElse(counts);
    work.shifts.put(feature.id(), state.judged(after, recent));
    clock(work, feature);
    condition(work, feature);
    return List.of(Outs.key(Reason.INSPECTION_OVERDUE, feature), lastOfBatch(feature));
  }

  private static boolean inZone(Feature feature, FirstOff rule, Length size) {
    Length off = size.minus(feature.centre().orElse(feature.nominal()));
    Length way = off.isBelow(Length.ZERO) ? Length.ZERO.minus(off) : off;
    return !way.isAbove(rule.zone());
  }

  /** A part was inspected without a number. */
  static void inspected(Work work, Feature feature) {
    clock(work, feature);
    ShiftState state = of(work, feature.id());
    if (!state.equals(ShiftState.NONE)) {
      work.shifts.put(feature.id(), state.withCounts(state.counts().measured()));
      Alerts.returned(work, Outs.key(Reason.INSPECTION_OVERDUE, feature));
      Alerts.returned(work, lastOfBatch(feature));
    }
  }

  /** A bore was taken back: what it counted is counted no more. */
  static void discarded(Work work, Feature feature, long seq) {
    ShiftState state = of(work, feature.id());
    Optional<ShiftState.Recent> newest = state.newest().filter(bore -> bore.seq() == seq);
    if (newest.isEmpty()) {
      return;
    }
    List<ShiftState.Recent> left = state.recent().subList(0, state.recent().size() - 1);
    ShiftState.Counts counts = newest.get().ofThisRun() ? state.before() : state.counts();
    work.shifts.put(feature.id(), state.withCounts(counts).withRecent(left));
    condition(work, feature);
  }

  /** The cell's counter moved on. */
  static void parts(Work work, String cell, int more) {
    for (Feature feature : featuresOf(work, cell)) {
      ShiftState state = of(work, feature.id());
      Counts after = state.counts().cut(more);
      work.shifts.put(feature.id(), state.withCounts(after));
      Optional<Sampling> sampling = sampling(work, feature);
      boolean was = sampling.map(s -> isOverdue(s, state.counts())).orElse(false);
      if (!was && sampling.map(s -> isOverdue(s, after)).orElse(false)) {
        Findings.take(work, feature, List.of(overdue(feature, sampling.get(), after)), List.of());
      }
      condition(work, feature);
    }
  }

  /** The time in which a bore must come begins anew. */
  private static void clock(Work work, Feature feature) {
    sampling(work, feature)
        .flatMap(Sampling::time)
        .ifPresent(time -> work.effect(new Effect.TimerSet(TIMER + feature.id(), time)));
  }

  /** No bore came for a time: overdue, unless the counter says that no part was cut in it. */
  static void timeUp(Work work, String id) {
    FeatureState known = work.features.get(id);
    Optional<Sampling> rule =
        Optional.ofNullable(known).flatMap(state -> sampling(work, state.feature()));
    Optional<Duration> time = rule.flatMap(Sampling::time);
    if (known == null || time.isEmpty()) {
      return;
    }
    Feature feature = known.feature();
    boolean idle = counted(work, feature) && of(work, id).counts().sinceBore() == 0;
    if (!idle) {
      Finding late =
          Outs.finding(
              feature,
              Reason.INSPECTION_OVERDUE,
              rule.get().action(),
              "no bore of " + id + " was measured for " + time.get().toMinutes() + " min");
      Findings.take(work, feature, List.of(late), List.of());
    }
    clock(work, feature);
  }

  private static boolean counted(Work work, Feature feature) {
    return feature
        .cell()
        .flatMap(work::cellIfKnown)
        .flatMap(CellState::report)
        .flatMap(CellReport::partsFinished)
        .isPresent();
  }

  static boolean isOverdue(Sampling rule, Counts counts) {
    return counts.sinceBore() > rule.every() + rule.late()
        || (counts.sinceAsked().isPresent() && counts.sinceAsked().getAsInt() > rule.late());
  }

  private static Finding overdue(Feature feature, Sampling rule, Counts counts) {
    return Outs.finding(
        feature,
        Reason.INSPECTION_OVERDUE,
        rule.action(),
        counts.sinceBore() + " parts were finished since the last bore of " + feature.id());
  }

  /** A tool was changed or set anew. */
  static void segment(Work work, Set<String> features, SegmentCause cause) {
    for (String id : features) {
      Feature feature = work.feature(id).feature();
      boolean tool = cause == SegmentCause.TOOL_CHANGED;
      boolean offset = cause == SegmentCause.OFFSET_ENTERED;
      if (tool && sampling(work, feature).filter(s -> s.also().contains(Also.TOOL)).isPresent()) {
        ShiftState state = of(work, id);
        work.shifts.put(id, state.withCounts(state.counts().asked()));
      }
      if (tool || offset) {
        begin(work, feature, tool ? After.TOOL : After.OFFSET);
      }
    }
  }

  private static void begin(Work work, Feature feature, After after) {
    firstOff(work, feature)
        .filter(rule -> rule.after().contains(after))
        .ifPresent(rule -> begin(work, feature, rule));
  }

  private static void begin(Work work, Feature feature, FirstOff rule) {
    ShiftState state = of(work, feature.id());
    work.shifts.put(feature.id(), state.withCounts(state.counts().pending(rule.bores(), 0)));
    condition(work, feature);
  }

  /** A person asks for first-offs: another program, a changeover. Returns how many features. */
  static int asked(Work work, String cell) {
    int begun = 0;
    for (Feature feature : featuresOf(work, cell)) {
      Optional<FirstOff> rule = firstOff(work, feature);
      if (rule.isPresent()) {
        begin(work, feature, rule.get());
        begun++;
      }
    }
    return begun;
  }

  /** Another part may be at the gauges: of another batch, perhaps. */
  static void partAtGauge(Work work, String cell) {
    Optional<String> batch = work.cell(cell).part().batch();
    if (batch.isEmpty()) {
      return;
    }
    for (Feature feature : featuresOf(work, cell)) {
      ShiftState state = of(work, feature.id());
      Optional<Batch> before = state.batch();
      if (!before.map(Batch::name).equals(batch)) {
        work.shifts.put(feature.id(), state.withBatch(new Batch(batch.get(), false)));
        before.filter(b -> !b.closed()).ifPresent(b -> lastOff(work, feature, b.name()));
        before.ifPresent(b -> batchBegins(work, feature));
      }
    }
  }

  /** A person, or the cell, says that the batch is at its end, before another one is named. */
  static Reply closeBatch(Work work, String cell) {
    Set<String> closed = new TreeSet<>();
    for (Feature feature : featuresOf(work, cell)) {
      ShiftState state = of(work, feature.id());
      Optional<Batch> open = state.batch().filter(batch -> !batch.closed());
      if (open.isPresent()) {
        String name = open.get().name();
        work.shifts.put(feature.id(), state.withBatch(new Batch(name, true)));
        lastOff(work, feature, name);
        closed.add(name);
      }
    }
    return closed.isEmpty()
        ? new Reply(AnswerCode.NOTHING_HELD, "no batch is open")
        : new Reply(AnswerCode.ACCEPTED, "closed: " + String.join(", ", closed));
  }

  /** The last part of a batch must have been measured. */
  private static void lastOff(Work work, Feature feature, String batch) {
    ShiftState state = of(work, feature.id());
    Optional<Sampling> rule = sampling(work, feature);
    int unmeasured = state.counts().sinceBore();
    if (unmeasured > 0 && rule.filter(s -> s.also().contains(Also.LAST_OF_BATCH)).isPresent()) {
      Finding missing =
          new Finding(
              lastOfBatch(feature),
              feature.id(),
              Reason.INSPECTION_OVERDUE,
              rule.get().action(),
              OptionalInt.empty(),
              "the last part of batch " + batch + " was not measured for " + feature.id());
      Findings.take(work, feature, List.of(missing), List.of());
    }
  }

  private static void batchBegins(Work work, Feature feature) {
    ShiftState state = of(work, feature.id());
    if (sampling(work, feature).filter(s -> s.also().contains(Also.FIRST_OF_BATCH)).isPresent()) {
      work.shifts.put(feature.id(), state.withCounts(state.counts().asked()));
    }
    begin(work, feature, After.BATCH);
  }

  private static String lastOfBatch(Feature feature) {
    return Outs.key(Reason.INSPECTION_OVERDUE, feature) + "/last-of-batch";
  }

  private static List<Feature> featuresOf(Work work, String cell) {
    List<Feature> features = new ArrayList<>();
    for (FeatureState state : work.features.values()) {
      if (state.feature().cell().equals(Optional.of(cell))) {
        features.add(state.feature());
      }
    }
    return features;
  }

  /** The permit is withheld while a first-off is pending and no part may be cut for it any more. */
  private static void condition(Work work, Feature feature) {
    Optional<String> cell = feature.cell().filter(work.cells::containsKey);
    if (cell.isEmpty()) {
      return;
    }
    Condition pending = new Condition(Reason.FIRST_OFF, Optional.of(feature.id()));
    if (withholds(work, feature, cell.get())) {
      Holding.set(work, cell.get(), pending);
    } else if (work.cell(cell.get()).hold().conditions().contains(pending)) {
      Holding.clear(work, cell.get(), pending);
    }
  }

  private static boolean withholds(Work work, Feature feature, String cell) {
    Counts counts = of(work, feature.id()).counts();
    boolean counted = work.cell(cell).report().flatMap(CellReport::partsFinished).isPresent();
    return counts.firstOffs() > 0
        && firstOff(work, feature)
            .map(rule -> !counted || counts.partsCut() >= rule.parts())
            .orElse(false);
  }

  /**
   * A start, or other rules: what is pending is pending still, where the rules still ask for it.
   */
  static void again(Work work) {
    Optional<RuleSet> rules = work.rules;
    ChallengesDue.forgetRemoved(work);
    work.shifts.keySet().retainAll(work.features.keySet());
    for (FeatureState state : List.copyOf(work.features.values())) {
      Feature feature = state.feature();
      ShiftState shift = of(work, feature.id());
      boolean asked =
          rules.flatMap(r -> r.shift(feature.id())).flatMap(ShiftRules::firstOff).isPresent();
      if (shift.counts().firstOffs() > 0 && !asked) {
        work.shifts.put(feature.id(), shift.withCounts(shift.counts().pending(0, 0)));
      }
      condition(work, feature);
      clock(work, feature);
    }
    ChallengesDue.again(work);
    for (CellState cell : List.copyOf(work.cells.values())) {
      for (Condition condition : cell.hold().conditions()) {
        boolean gone = condition.subject().map(id -> !work.features.containsKey(id)).orElse(false);
        if (condition.reason() == Reason.FIRST_OFF && gone) {
          Holding.clear(work, cell.policy().cell(), condition);
        }
      }
    }
  }
}

package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Bypass;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldMachine;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.HoldStep;
import org.borewarden.rules.hold.HoldViews;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.StopKind;

/** What events do to the holds of cells, and the timers that belong to a hold. */
final class Holding {
  static final String ACK_TIMER = "ack:";
  static final String BYPASS_TIMER = "bypass:";

  /** What a start has to prove: until then it is missing, not lost. */
  private static final Set<Reason> START_PROVES =
      Set.of(
          Reason.LINK,
          Reason.JOURNAL,
          Reason.STALL,
          Reason.RULES_INVALID,
          Reason.SOURCE_LOST,
          Reason.GAUGE_BELIEF,
          Reason.BROKER);

  private Holding() {}

  /** Applies an input to a cell's hold; a cell that the config does not name has none. */
  static Optional<AnswerCode> apply(Work work, String cell, HoldInput input) {
    if (!work.cells.containsKey(cell)) {
      return Optional.empty();
    }
    CellState before = work.cell(cell);
    HoldStep step = HoldMachine.step(before.hold(), input, work.seq(), work.at());
    work.cells.put(cell, before.withHold(step.next()));
    if (step.changed()) {
      followUp(work, cell, before.hold(), step.next());
    }
    return step.code();
  }

  /**
   * Sets a condition, unless the config says that it is only noted. Where the config says that it
   * latches a hold it does, save for what a start has yet to prove: that is not lost before it was
   * there once.
   */
  static void set(Work work, String cell, Condition condition) {
    Optional<CellState> state = work.cellIfKnown(cell);
    if (state.isEmpty() || state.get().hold().conditions().contains(condition)) {
      return;
    }
    Alerts.condition(work, cell, condition);
    if (state.get().policy().noted().contains(condition.reason())) {
      return;
    }
    apply(work, cell, new HoldInput.ConditionSet(condition));
    boolean hadIt = state.get().hold().fresh() || !START_PROVES.contains(condition.reason());
    if (hadIt && state.get().policy().held().contains(condition.reason())) {
      finding(work, cell, cause(work, condition));
    }
  }

  static void clear(Work work, String cell, Condition condition) {
    Alerts.conditionGone(work, cell, condition);
    if (work.cellIfKnown(cell)
        .map(state -> state.hold().conditions().contains(condition))
        .orElse(false)) {
      apply(work, cell, new HoldInput.ConditionCleared(condition));
    }
  }

  static void finding(Work work, String cell, Cause cause) {
    finding(work, cell, cause, HoldState.AGENT);
  }

  /** Raises a hold; what was evidence before does not show that this cause is gone. */
  static Optional<AnswerCode> finding(Work work, String cell, Cause cause, String by) {
    CellTesting.stop(work, cell, "a hold was raised: " + cause.key());
    Optional<AnswerCode> code = apply(work, cell, new HoldInput.FindingRaised(cause, by));
    work.cellIfKnown(cell).ifPresent(state -> work.cells.put(cell, state.withEvidence(List.of())));
    return code;
  }

  private static Cause cause(Work work, Condition condition) {
    return new Cause(
        condition.reason().key() + condition.subject().map(s -> "/" + s).orElse(""),
        condition.reason(),
        condition.reason() == Reason.NOT_JUDGED ? condition.subject() : Optional.empty(),
        StopKind.END_OF_PART,
        work.seq(),
        1);
  }

  /**
   * A judged bore as a hold sees it.
   *
   * @param feature its feature
   * @param seq the seq of its verdict
   * @param good whether it is within, and so is its form
   * @param withheld whether it may not be believed
   * @param held whether it raised a hold itself
   * @param part the number of its part, where the cell or a command says it
   */
  record Judged(
      String feature, long seq, boolean good, boolean withheld, boolean held, OptionalLong part) {}

  /** A bore was judged: it may be evidence for a release, and a trial counts it. */
  static void judged(Work work, String cell, Judged bore) {
    if (!work.cells.containsKey(cell)) {
      return;
    }
    boolean within = bore.good();
    if (!bore.withheld()) {
      work.cells.put(cell, work.cell(cell).withPartsSinceJudged(0));
    }
    if (within && !bore.held()) {
      evidence(work, cell, Set.of(bore.feature()), bore.seq());
    }
    CellState state = work.cell(cell);
    if (state.hold().phase() != Phase.TRIAL) {
      return;
    }
    // The same part once more, or one from before the trial, makes no further evidence; a bad bore
    // counts all the same.
    if (!within) {
      apply(work, cell, new HoldInput.TrialBore(false));
    } else if (state.trialParts().counts(bore.feature(), bore.part())) {
      work.cells.put(
          cell, state.withTrialParts(state.trialParts().with(bore.feature(), bore.part())));
      apply(work, cell, new HoldInput.TrialBore(true));
    }
  }

  /**
   * A bore within, a tool change or an offset may be evidence for a release where a cause is about
   * one of these features, or about none. It never clears a latch.
   */
  static void evidence(Work work, String cell, Set<String> features, long seq) {
    work.cellIfKnown(cell)
        .filter(state -> concerns(state.hold(), features))
        .ifPresent(state -> work.cells.put(cell, state.withEvidence(plus(state.evidence(), seq))));
  }

  private static boolean concerns(HoldState hold, Set<String> features) {
    return hold.causes().stream().anyMatch(c -> c.feature().map(features::contains).orElse(true));
  }

  /** A bore was taken back: it is no evidence, and in a trial its part gave none. */
  static void discarded(Work work, String cell, long seq) {
    if (!work.cells.containsKey(cell)) {
      return;
    }
    CellState state = work.cell(cell);
    work.cells.put(
        cell, state.withEvidence(state.evidence().stream().filter(s -> s != seq).toList()));
    if (state.hold().phase() == Phase.TRIAL) {
      apply(work, cell, new HoldInput.TrialBad("a bore was taken back"));
    }
  }

  /**
   * The bore that raised a hold was taken back: the hold stays, and says why it has no bore any
   * more. A permit that someone gave in spite of the hold is not touched.
   */
  static void withdrawn(Work work, String cell, Feature feature, long event) {
    if (!work.cells.containsKey(cell)) {
      return;
    }
    HoldState hold = work.cell(cell).hold();
    hold.causes().stream()
        .filter(c -> c.seq() == event && c.feature().equals(Optional.of(feature.id())))
        .findFirst()
        .filter(c -> !hold.permitted())
        .ifPresent(
            c ->
                finding(
                    work,
                    cell,
                    new Cause(
                        Outs.key(Reason.EVIDENCE_WITHDRAWN, feature),
                        Reason.EVIDENCE_WITHDRAWN,
                        Optional.of(feature.id()),
                        c.kind(),
                        work.seq(),
                        1)));
  }

  /** Records every hold that this step changed, once. */
  static void tell(Work work, State before) {
    work.cells.forEach(
        (cell, state) -> {
          HoldState was = hold(before, cell);
          HoldState is = state.hold();
          if (!is.equals(was)) {
            boolean asked = is.grant().isPresent() && !is.grant().equals(was.grant());
            work.decide(
                new Decision.HoldChanged(
                    HoldViews.view(cell, is, Challenges.of(work.life, cell, is)),
                    asked ? is.grant().map(g -> g.revision()) : Optional.empty()));
          }
        });
  }

  private static HoldState hold(State before, String cell) {
    CellState state = before.cells().get(cell);
    return state == null ? HoldState.initial(java.time.Instant.EPOCH) : state.hold();
  }

  private static void followUp(Work work, String cell, HoldState was, HoldState is) {
    if (is.number() != 0 && is.number() != was.number()) {
      work.cells.put(cell, work.cell(cell).withEvidence(List.of()));
    }
    if (is.number() == 0 && was.number() != 0) {
      Alerts.released(work, cell, is.by());
      released(work, cell, was, is.by());
    }
    SecondPerson.look(work, cell, is);
    if (is.phase() == Phase.TRIAL && was.phase() != Phase.TRIAL) {
      CellState state = work.cell(cell);
      work.cells.put(cell, state.withTrialParts(TrialParts.begun(counter(state))));
    }
    HoldTest.watch(work, cell, is);
    ackTimer(work, cell, was, is);
    bypassTimer(work, cell, was, is);
  }

  private static OptionalLong counter(CellState state) {
    return state
        .report()
        .flatMap(CellReport::partsFinished)
        .map(OptionalLong::of)
        .orElse(OptionalLong.empty());
  }

  private static void released(Work work, String cell, HoldState was, String by) {
    CellState state = work.cell(cell);
    Optional<ReleaseSaid> said = state.said();
    work.cells.put(cell, state.withSaid(Optional.empty()));
    work.effect(
        new Effect.HoldReleased(
            cell,
            was.number(),
            was.causes().stream().map(Cause::key).toList(),
            said.map(ReleaseSaid::needed).orElse("unknown"),
            said.flatMap(ReleaseSaid::contain),
            was.contain(),
            said.map(ReleaseSaid::reason).orElse(""),
            by));
  }

  private static void ackTimer(Work work, String cell, HoldState was, HoldState is) {
    boolean waited = was.phase() == Phase.REQUESTED;
    boolean waits = is.phase() == Phase.REQUESTED;
    CellPolicy policy = work.cell(cell).policy();
    if (waits && policy.linked() && (!waited || is.number() != was.number())) {
      work.effect(new Effect.TimerSet(ACK_TIMER + cell, policy.ackOverdue()));
    } else if (waited && !waits) {
      work.effect(new Effect.TimerCleared(ACK_TIMER + cell));
    }
  }

  private static void bypassTimer(Work work, String cell, HoldState was, HoldState is) {
    Optional<Bypass> ran = was.bypass();
    Optional<Bypass> runs = is.bypass();
    if (runs.isPresent() && !runs.equals(ran)) {
      work.effect(
          new Effect.TimerSet(
              BYPASS_TIMER + cell, Duration.between(work.at(), runs.get().until())));
    } else if (runs.isEmpty() && ran.isPresent()) {
      work.effect(new Effect.TimerCleared(BYPASS_TIMER + cell));
    }
  }

  private static List<Long> plus(List<Long> seqs, long seq) {
    List<Long> more = new ArrayList<>(seqs);
    more.add(seq);
    return more;
  }

  /** The first feature that a hold's causes name. */
  static Optional<Feature> firstFeature(State state, HoldState hold) {
    return hold.causes().stream()
        .flatMap(cause -> cause.feature().stream())
        .findFirst()
        .map(state.features()::get)
        .map(FeatureState::feature);
  }
}

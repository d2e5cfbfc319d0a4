package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
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
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.StopKind;

/** What events do to the holds of cells, and the timers that belong to a hold. */
final class Holding {
  static final String ACK_TIMER = "ack:";
  static final String BYPASS_TIMER = "bypass:";

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
    if (state.get().policy().held().contains(condition.reason())) {
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
    apply(work, cell, new HoldInput.FindingRaised(cause));
  }

  private static Cause cause(Work work, Condition condition) {
    return new Cause(
        condition.reason().key() + condition.subject().map(s -> "/" + s).orElse(""),
        condition.reason(),
        Optional.empty(),
        StopKind.END_OF_PART,
        work.seq(),
        1);
  }

  /** A bore was judged: it may be evidence for a release, and a trial counts it. */
  static void judged(Work work, String cell, Judgement judgement, long verdictSeq) {
    if (!work.cells.containsKey(cell)) {
      return;
    }
    CellState state = work.cell(cell);
    boolean within = judgement.verdict() == Verdict.WITHIN;
    CellState next = state.withPartsSinceJudged(0);
    if (within && state.hold().number() != 0) {
      next = next.withEvidence(plus(state.evidence(), verdictSeq));
    }
    work.cells.put(cell, next);
    if (state.hold().phase() == Phase.TRIAL) {
      apply(work, cell, new HoldInput.TrialBore(within));
    }
  }

  /** A tool change or an offset may be evidence for a release; it never clears a latch. */
  static void evidence(Work work, String cell, long seq) {
    work.cellIfKnown(cell)
        .filter(state -> state.hold().number() != 0)
        .ifPresent(state -> work.cells.put(cell, state.withEvidence(plus(state.evidence(), seq))));
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
    }
    HoldTest.watch(work, cell, is);
    ackTimer(work, cell, was, is);
    bypassTimer(work, cell, was, is);
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

package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * A hold's state while one step works on it; it never leaves the step. The verbs here keep what
 * belongs together together: a grant with its revision, a cause with its number.
 */
final class HoldDraft {
  /** The most entries of a contain list; the parts beyond are said in one last entry. */
  static final int MAX_CONTAIN = 1000;

  private static final String CONTAIN_FULL = "and every later part until the stop";

  Phase phase;
  Optional<StopKind> kind;
  int number;
  int lastNumber;
  int revision;
  final List<Cause> causes;
  final List<Condition> conditions;
  boolean heard;
  boolean stopped;
  boolean fresh;
  Optional<Trial> trial;
  Optional<Bypass> bypass;
  final List<Instant> bypassStarts;
  Optional<Grant> grant;
  boolean permitKept;
  final List<String> contain;
  boolean watchOnly;
  Optional<AnswerCode> code = Optional.empty();
  String actor = HoldState.AGENT;
  final long seq;
  final Instant at;
  private final HoldState before;

  HoldDraft(HoldState state, long seq, Instant at) {
    this.before = state;
    this.seq = seq;
    this.at = at;
    phase = state.phase();
    kind = state.kind();
    number = state.number();
    lastNumber = state.lastNumber();
    revision = state.revision();
    causes = new ArrayList<>(state.causes());
    conditions = new ArrayList<>(state.conditions());
    heard = state.heard();
    stopped = state.stopped();
    fresh = state.fresh();
    trial = state.trial();
    bypass = state.bypass();
    bypassStarts = new ArrayList<>(state.bypassStarts());
    grant = state.grant();
    permitKept = state.permitKept();
    contain = new ArrayList<>(state.contain());
    watchOnly = state.watchOnly();
  }

  /** The step's result; who and since when follow the permit. */
  HoldStep done() {
    HoldState next = state(before.since(), before.by());
    if (next.permitted() != before.permitted()) {
      stopped = stopped && !next.permitted();
      next = state(at, actor);
    }
    Optional<Integer> asked =
        grant.equals(before.grant()) ? Optional.empty() : grant.map(Grant::revision);
    return new HoldStep(next, code, asked, !next.equals(before));
  }

  private HoldState state(Instant since, String by) {
    return new HoldState(
        phase,
        kind,
        number,
        lastNumber,
        revision,
        causes,
        conditions,
        heard,
        stopped,
        fresh,
        trial,
        bypass,
        bypassStarts,
        grant,
        permitKept,
        contain,
        since,
        by,
        watchOnly);
  }

  void answer(AnswerCode answer) {
    code = Optional.of(answer);
  }

  /** Whether the permit was given before this step. */
  boolean permittedBefore() {
    return before.permitted();
  }

  /** Lets the kind rise, never fall. Returns whether it rose. */
  boolean raiseKind(StopKind least) {
    if (kind.isPresent() && kind.get().compareTo(least) >= 0) {
      return false;
    }
    kind = Optional.of(least);
    return true;
  }

  /** Adds a cause or counts it up; a hold that is newly latched gets its number. */
  boolean addCause(Cause cause) {
    if (number == 0) {
      renumber();
    }
    if (countUp(cause)) {
      return false;
    }
    causes.add(
        new Cause(cause.key(), cause.reason(), cause.feature(), cause.kind(), cause.seq(), 1));
    return true;
  }

  /** Counts a cause up that stands already. */
  boolean countUp(Cause cause) {
    for (int i = 0; i < causes.size(); i++) {
      if (causes.get(i).key().equals(cause.key())) {
        causes.set(i, countedUp(causes.get(i), cause.kind()));
        return true;
      }
    }
    return false;
  }

  /** Takes a number that was never used, so that no older word of the cell fits this hold. */
  void renumber() {
    lastNumber++;
    number = lastNumber;
  }

  /** Adds a cause of the agent's own making, end of part. */
  void addOwnCause(Reason reason) {
    addCause(new Cause(reason.key(), reason, Optional.empty(), StopKind.END_OF_PART, seq, 1));
    raiseKind(StopKind.END_OF_PART);
  }

  /** Takes back a grant in flight; its revision is never used again. */
  boolean voidGrant() {
    if (grant.isEmpty()) {
      return false;
    }
    grant = Optional.empty();
    revision++;
    return true;
  }

  /** Asks for a grant that nobody has to ask for. */
  void pend(Grant.Kind what) {
    pend(what, Optional.empty(), Optional.empty(), HoldState.AGENT);
  }

  /** Asks for a grant at this revision. */
  void pend(Grant.Kind what, Optional<Trial> trialAsked, Optional<Bypass> bypassAsked, String by) {
    grant = Optional.of(new Grant(what, revision, trialAsked, bypassAsked, by));
  }

  /** Asks for the grant in flight again, so that it waits for this step's record too. */
  void pendAnew() {
    grant.ifPresent(
        g -> {
          revision++;
          pend(g.kind(), g.trial(), g.bypass(), g.by());
        });
  }

  /**
   * The cell is asked to stop and must hear it anew; under a new number where it may have run since
   * the last one.
   */
  void request() {
    if (phase == Phase.TRIAL || phase == Phase.BYPASSED || permitKept) {
      renumber();
    }
    phase = Phase.REQUESTED;
    heard = false;
    trial = Optional.empty();
    bypass = Optional.empty();
    permitKept = false;
    raiseKind(StopKind.END_OF_PART);
  }

  /** Nothing is latched any more. */
  void unlatch() {
    causes.clear();
    number = 0;
    kind = Optional.empty();
    heard = false;
    trial = Optional.empty();
    bypass = Optional.empty();
    permitKept = false;
    contain.clear();
  }

  void addContain(List<String> parts) {
    for (String part : parts) {
      if (contain.size() == MAX_CONTAIN) {
        contain.set(MAX_CONTAIN - 1, CONTAIN_FULL);
      } else if (!contain.contains(part)) {
        contain.add(part);
      }
    }
  }

  private static Cause countedUp(Cause standing, StopKind again) {
    StopKind higher = again.compareTo(standing.kind()) > 0 ? again : standing.kind();
    int count = standing.count() == Integer.MAX_VALUE ? standing.count() : standing.count() + 1;
    return new Cause(
        standing.key(), standing.reason(), standing.feature(), higher, standing.seq(), count);
  }
}

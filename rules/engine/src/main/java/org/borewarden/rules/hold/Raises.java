package org.borewarden.rules.hold;

import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/** The rows of the table that may withdraw the permit, and their ends. */
final class Raises {
  /**
   * By how much hold number and revision jump at an unclean start: what went out before the commit
   * and is lost with it must never be used again.
   */
  static final int UNCLEAN_GAP = 100;

  private Raises() {}

  static void take(HoldDraft draft, HoldInput.Raise input) {
    if (input instanceof HoldInput.FindingRaised finding) {
      find(draft, finding);
    } else if (input instanceof HoldInput.ConditionSet set) {
      setCondition(draft, set.condition());
    } else if (input instanceof HoldInput.ConditionCleared cleared) {
      clearCondition(draft, cleared.condition());
    } else if (input instanceof HoldInput.BrokerLost lost && lost.onlyOutput()) {
      setCondition(draft, broker());
    } else if (input instanceof HoldInput.BrokerBack back && back.onlyOutput()) {
      clearCondition(draft, broker());
    } else if (input instanceof HoldInput.TrialBad) {
      endTrial(draft, Reason.TRIAL_FAILED);
    } else if (input instanceof HoldInput.RulesReloaded) {
      endTrial(draft, Reason.RULES_CHANGED);
    } else if (input instanceof HoldInput.BypassEnd end) {
      endBypass(draft, end.by());
    } else if (input instanceof HoldInput.Restarted restarted) {
      restart(draft, restarted.clean());
    }
  }

  private static Condition broker() {
    return new Condition(Reason.BROKER, Optional.empty());
  }

  private static void find(HoldDraft draft, HoldInput.FindingRaised finding) {
    draft.actor = finding.by();
    Cause cause = finding.cause();
    if (draft.bypass.isPresent() && draft.bypass.get().causes().contains(cause.key())) {
      findCovered(draft, cause);
      return;
    }
    boolean voided = draft.voidGrant();
    boolean rose = draft.raiseKind(cause.kind());
    boolean stays =
        (draft.phase == Phase.STARTING && !draft.fresh) || (draft.phase == Phase.HEARD && !rose);
    boolean ran = draft.phase == Phase.TRIAL || draft.phase == Phase.BYPASSED;
    if (!stays) {
      draft.request();
    }
    boolean added = draft.addCause(cause);
    if (!voided && (rose || ran || added)) {
      draft.revision++;
    }
  }

  /** The bypass names this cause and goes on; a release in flight was not about this bore. */
  private static void findCovered(HoldDraft draft, Cause cause) {
    draft.countUp(cause);
    boolean rose = draft.raiseKind(cause.kind());
    if (draft.grant.isPresent() && draft.grant.get().kind() == Grant.Kind.RESUME) {
      draft.pendAnew();
    } else if (!draft.voidGrant() && rose) {
      draft.revision++;
    }
  }

  private static void setCondition(HoldDraft draft, Condition condition) {
    if (draft.conditions.contains(condition)) {
      return;
    }
    draft.conditions.add(condition);
    if (!draft.voidGrant()) {
      draft.revision++;
    }
    switch (draft.phase) {
      case STARTING, NOT_READY, REQUESTED -> {}
      case PERMITTED -> {
        draft.phase = Phase.NOT_READY;
        draft.raiseKind(StopKind.END_OF_PART);
      }
      case HEARD -> {
        if (cutsTheCellOff(condition.reason())) {
          draft.request();
        }
      }
      case TRIAL -> {
        if (endsTrial(condition.reason())) {
          endTrial(draft, Reason.TRIAL_FAILED);
        }
      }
      case RELEASING -> draft.request();
      case BYPASSED -> {
        if (condition.reason() == Reason.JOURNAL) {
          endBypass(draft, HoldState.AGENT);
        }
      }
    }
  }

  /** What the cell said it heard is no longer known to hold. */
  private static boolean cutsTheCellOff(Reason reason) {
    return reason == Reason.LINK || reason == Reason.BROKER;
  }

  /**
   * A trial is there to make evidence: what spoils the evidence ends it. Lost links, stalls, lost
   * ports and repeat readings only suspend it; a bore that they cost is missing by the count.
   */
  private static boolean endsTrial(Reason reason) {
    return switch (reason) {
      case JOURNAL, RULES_INVALID, GAUGE_BELIEF, OVERRUN, NOT_JUDGED -> true;
      case LINK, STALL, SOURCE_LOST, MEASURE_AGAIN, BROKER, STARTING, FIRST_OFF -> false;
      case NONE,
          UNDERSIZE,
          OVERSIZE,
          UNDECIDED,
          FORECAST,
          RUN,
          UNCLEAN_STOP,
          TRIAL_FAILED,
          BYPASS_ENDED,
          RULES_CHANGED,
          ASKED,
          NOT_CONFIRMED,
          OWN_BYPASS,
          FORM,
          WITHHELD,
          NO_EVIDENCE,
          CONFIRMED_IN,
          EVIDENCE_WITHDRAWN,
          RING_CHECK_DUE,
          INSPECTION_OVERDUE,
          CHALLENGE,
          CHALLENGE_FAILED,
          CHALLENGE_DUE,
          HOLD_TEST_DUE,
          SECOND_PERSON,
          CELL_TEST,
          SHIFT,
          REPEATS,
          SPREAD,
          DRIFT,
          OFFSET ->
          true;
    };
  }

  private static void endTrial(HoldDraft draft, Reason why) {
    if (draft.phase == Phase.TRIAL) {
      latchOwn(draft, why);
    }
  }

  /** Also takes back a bypass that was asked for and is not yet given. */
  static void endBypass(HoldDraft draft, String by) {
    if (draft.phase == Phase.BYPASSED) {
      draft.actor = by;
      latchOwn(draft, Reason.BYPASS_ENDED);
    } else if (draft.grant.isPresent() && draft.grant.get().kind() == Grant.Kind.BYPASS) {
      draft.voidGrant();
      Gives.proceed(draft);
    }
  }

  private static void latchOwn(HoldDraft draft, Reason why) {
    draft.voidGrant();
    draft.request();
    draft.addOwnCause(why);
    draft.revision++;
  }

  private static void clearCondition(HoldDraft draft, Condition condition) {
    if (!draft.conditions.remove(condition) || !draft.conditions.isEmpty()) {
      return;
    }
    if (draft.grant.isPresent()) {
      draft.pendAnew();
    } else {
      Gives.proceed(draft);
    }
  }

  /**
   * The agent starts anew on what the journal holds: whatever was being granted is as synced as its
   * record, so a release counts; a trial or a bypass ends, since its end cannot be proved over a
   * stop.
   */
  private static void restart(HoldDraft draft, boolean clean) {
    Optional<Grant.Kind> waiting = draft.grant.map(Grant::kind);
    if (waiting.equals(Optional.of(Grant.Kind.RELEASE))) {
      draft.unlatch();
    } else if (draft.phase == Phase.TRIAL || waiting.equals(Optional.of(Grant.Kind.TRIAL))) {
      draft.renumber();
      draft.addOwnCause(Reason.TRIAL_FAILED);
    } else if (draft.phase == Phase.BYPASSED || waiting.equals(Optional.of(Grant.Kind.BYPASS))) {
      draft.renumber();
      draft.addOwnCause(Reason.BYPASS_ENDED);
    }
    draft.grant = Optional.empty();
    draft.phase = Phase.STARTING;
    draft.trial = Optional.empty();
    draft.bypass = Optional.empty();
    draft.permitKept = false;
    draft.heard = false;
    draft.stopped = false;
    draft.fresh = false;
    draft.conditions.removeIf(condition -> provedAnew(condition.reason()));
    draft.revision++;
    if (!clean) {
      draft.lastNumber += UNCLEAN_GAP;
      draft.revision += UNCLEAN_GAP;
      draft.addOwnCause(Reason.UNCLEAN_STOP);
    }
    if (draft.causes.isEmpty()) {
      draft.kind = Optional.empty();
    }
  }

  /** Conditions of the run that ended: the start's evidence proves them, or they are set again. */
  private static boolean provedAnew(Reason reason) {
    return reason == Reason.LINK
        || reason == Reason.JOURNAL
        || reason == Reason.STALL
        || reason == Reason.BROKER
        || reason == Reason.SOURCE_LOST
        || reason == Reason.RULES_INVALID;
  }
}

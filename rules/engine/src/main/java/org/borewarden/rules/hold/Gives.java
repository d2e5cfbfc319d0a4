package org.borewarden.rules.hold;

import java.util.Optional;

/** The rows of the table that may give the permit, each by way of a grant that waits. */
final class Gives {
  private Gives() {}

  static void take(HoldDraft draft, HoldInput.Give input) {
    if (input instanceof HoldInput.GrantSynced synced) {
      sync(draft, synced.revision());
    } else if (input instanceof HoldInput.StartEvidenceFresh) {
      draft.fresh = true;
      if (draft.phase == Phase.STARTING && (draft.grant.isEmpty() || draft.number != 0)) {
        proceed(draft);
      }
    } else if (input instanceof HoldInput.Release release) {
      Commands.release(draft, release);
    } else if (input instanceof HoldInput.BypassStart start) {
      Commands.bypass(draft, start);
    } else if (input instanceof HoldInput.EvidenceComplete) {
      draft.trial.ifPresent(trial -> evidenceMet(draft, trial));
    } else if (input instanceof HoldInput.TrialBore bore && draft.trial.isPresent()) {
      Trial trial = draft.trial.get();
      trialStep(draft, bore.within() ? trial.boreWithin() : trial.boreOther());
    }
  }

  /** What a part or a bore did to the trial. */
  static void trialStep(HoldDraft draft, Trial.Step step) {
    if (step.outcome().failed()) {
      Raises.take(draft, new HoldInput.TrialBad(step.outcome().name()));
    } else {
      draft.trial = Optional.of(step.next());
      if (step.outcome() == Trial.Outcome.EVIDENCE_COMPLETE) {
        evidenceMet(draft, step.next());
      }
    }
  }

  /** RLW+, or kept in mind until no condition stands: a release never waits over a condition. */
  private static void evidenceMet(HoldDraft draft, Trial trial) {
    if (draft.conditions.isEmpty()) {
      writeRelease(draft, trial.by());
    } else {
      draft.trial = Optional.of(trial.withEvidenceMet());
    }
  }

  /** The release of a trial is being written; a permit that stands is kept meanwhile. */
  static void writeRelease(HoldDraft draft, String by) {
    boolean resuming = draft.voidGrant();
    draft.permitKept = !resuming && draft.trial.isPresent() && draft.trial.get().mayBegin();
    draft.trial = Optional.empty();
    draft.phase = Phase.RELEASING;
    draft.pend(Grant.Kind.RELEASE, Optional.empty(), Optional.empty(), by);
  }

  /** What is due when no condition and no grant stands in the way any more. */
  static void proceed(HoldDraft draft) {
    boolean clear = draft.conditions.isEmpty();
    switch (draft.phase) {
      case STARTING -> {
        if (draft.fresh && !draft.causes.isEmpty()) {
          draft.request();
        } else if (draft.fresh && clear) {
          draft.pend(Grant.Kind.START);
        }
      }
      case NOT_READY -> {
        if (clear) {
          draft.pend(Grant.Kind.READY);
        }
      }
      case TRIAL -> resumeTrial(draft);
      case BYPASSED -> draft.pend(Grant.Kind.RESUME);
      case PERMITTED, REQUESTED, HEARD, RELEASING -> {}
    }
  }

  private static void resumeTrial(HoldDraft draft) {
    Trial trial = draft.trial.orElseThrow();
    if (trial.met()) {
      writeRelease(draft, trial.by());
      draft.permitKept = false;
    } else {
      draft.pend(Grant.Kind.RESUME);
    }
  }

  private static void sync(HoldDraft draft, int revision) {
    if (draft.grant.isEmpty() || draft.grant.get().revision() != revision) {
      return;
    }
    Grant grant = draft.grant.get();
    if (grant.bypass().isPresent() && !draft.at.isBefore(grant.bypass().get().until())) {
      draft.voidGrant();
      proceed(draft);
      return;
    }
    draft.grant = Optional.empty();
    draft.revision++;
    draft.actor = grant.by();
    give(draft, grant);
  }

  private static void give(HoldDraft draft, Grant grant) {
    switch (grant.kind()) {
      case START, READY, RELEASE -> {
        draft.unlatch();
        draft.phase = Phase.PERMITTED;
      }
      case TRIAL -> {
        draft.phase = Phase.TRIAL;
        draft.trial = grant.trial();
      }
      case BYPASS -> {
        draft.phase = Phase.BYPASSED;
        draft.bypass = grant.bypass();
        draft.bypassStarts.removeIf(began -> began.isBefore(draft.at.minus(Bypass.SHIFT)));
        draft.bypassStarts.add(draft.at);
      }
      case RESUME -> {}
    }
  }
}

package org.borewarden.rules.hold;

import org.borewarden.rules.part.StopKind;

/** The rows of the table that the cell speaks, or fails to speak. */
final class CellWords {
  private CellWords() {}

  static void take(HoldDraft draft, HoldInput.CellWord word) {
    if (word instanceof HoldInput.CellAck ack) {
      hear(draft, ack);
    } else if (word instanceof HoldInput.CellStopped) {
      draft.stopped = draft.stopped || !draft.permittedBefore();
    } else if (word instanceof HoldInput.CellRestarted) {
      if (draft.phase == Phase.HEARD) {
        draft.request();
      }
    } else if (word instanceof HoldInput.AckOverdue overdue) {
      escalate(draft, overdue.escalate());
    } else if (word instanceof HoldInput.TrialPartBegun) {
      draft.trial.ifPresent(trial -> Gives.trialStep(draft, trial.partBegun()));
    } else if (word instanceof HoldInput.TrialPartFinished) {
      draft.trial.ifPresent(trial -> Gives.trialStep(draft, trial.partFinished()));
    }
  }

  /** An ack quotes number and kind, so a further cause of the same kind does not void it. */
  private static void hear(HoldDraft draft, HoldInput.CellAck ack) {
    boolean kindHeard = draft.kind.isEmpty() || ack.kind().compareTo(draft.kind.get()) >= 0;
    if (ack.hold() != draft.number || !kindHeard) {
      draft.answer(AnswerCode.SUPERSEDED);
    } else if (draft.phase == Phase.PERMITTED) {
      draft.answer(AnswerCode.NOTHING_HELD);
    } else if (draft.phase == Phase.REQUESTED) {
      draft.phase = Phase.HEARD;
      draft.heard = true;
      draft.answer(AnswerCode.ACCEPTED);
    }
  }

  private static void escalate(HoldDraft draft, boolean allowed) {
    if (allowed
        && draft.phase == Phase.REQUESTED
        && draft.raiseKind(StopKind.NEXT_SAFE_POINT)
        && !draft.voidGrant()) {
      draft.revision++;
    }
  }
}

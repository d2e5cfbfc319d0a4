package org.borewarden.rules.hold;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * What may change a cell's hold. The rows of the table in docs/hold.md, and nothing else: there is
 * no input by which a discard, a tool change or an offset could lift a hold.
 */
public sealed interface HoldInput {

  /** What may only withdraw the permit. */
  sealed interface Raise extends HoldInput {}

  /** What a person, a record or the evidence may give. */
  sealed interface Give extends HoldInput {}

  /** What the cell says. */
  sealed interface CellWord extends HoldInput {}

  /** What is only shown beside the hold. */
  sealed interface Note extends HoldInput {}

  /**
   * A finding that asks for a hold, a drain or a hold-path test among them.
   *
   * @param cause the cause; its count is not looked at
   * @param by who asked; {@code agent} for a watch or a verdict
   */
  record FindingRaised(Cause cause, String by) implements Raise {
    /**
     * A finding of a watch or a verdict.
     *
     * @param cause the cause
     */
    public FindingRaised(Cause cause) {
      this(cause, HoldState.AGENT);
    }
  }

  /**
   * A condition stands. Where the config says that its loss latches a hold, a finding is raised
   * beside it.
   *
   * @param condition which
   */
  record ConditionSet(Condition condition) implements Raise {}

  /**
   * A condition is gone.
   *
   * @param condition which
   */
  record ConditionCleared(Condition condition) implements Raise {}

  /**
   * The broker is lost.
   *
   * @param onlyOutput whether MQTT is the cell's only output
   */
  record BrokerLost(boolean onlyOutput) implements Raise {}

  /**
   * The broker is back.
   *
   * @param onlyOutput whether MQTT is the cell's only output
   */
  record BrokerBack(boolean onlyOutput) implements Raise {}

  /**
   * A trial ended without its evidence for a reason that its counts do not show.
   *
   * @param why in words
   */
  record TrialBad(String why) implements Raise {}

  /** Rules are newly in force. */
  record RulesReloaded() implements Raise {}

  /** A rules file was refused and the rules before it stay. */
  record RulesRefused() implements Note {}

  /**
   * A bypass ends: its time is up, or a person ends it.
   *
   * @param by who; {@code agent} for its time
   */
  record BypassEnd(String by) implements Raise {}

  /**
   * A new start of the agent, applied after the journal's records were replayed.
   *
   * @param clean whether the run before ended on request
   */
  record Restarted(boolean clean) implements Raise {}

  /**
   * The cell heard a hold.
   *
   * @param hold the hold's number; 0 where none is latched
   * @param kind the kind that it heard
   */
  record CellAck(int hold, StopKind kind) implements CellWord {}

  /** The cell stopped for lack of permit. */
  record CellStopped() implements CellWord {}

  /** The cell's controller started anew. */
  record CellRestarted() implements CellWord {}

  /**
   * The cell did not say in time that it heard the hold.
   *
   * @param escalate whether the rules let the kind rise to next safe point for that
   */
  record AckOverdue(boolean escalate) implements CellWord {}

  /** The cell began a part during a trial. */
  record TrialPartBegun() implements CellWord {}

  /** The cell finished a part during a trial. */
  record TrialPartFinished() implements CellWord {}

  /**
   * A part of a trial gave a bore.
   *
   * @param within whether its verdict is within; undecided and withheld bores are not
   */
  record TrialBore(boolean within) implements Give {}

  /** The evidence that a release owes is there. */
  record EvidenceComplete() implements Give {}

  /** The evidence after a start is fresh (note 1 of docs/hold.md). */
  record StartEvidenceFresh() implements Give {}

  /**
   * The record of a grant is synced.
   *
   * @param revision the revision of the grant
   */
  record GrantSynced(int revision) implements Give {}

  /**
   * An authorised release.
   *
   * @param hold the hold's number that it quotes; 0 where none is latched
   * @param revision the revision that the person saw
   * @param evidenceThere whether the evidence that the rules ask for is there, or not asked for
   * @param trial the trial permit in which the evidence is to be made, where asked for and the cell
   *     counts its parts
   * @param by who
   */
  record Release(
      int hold, int revision, boolean evidenceThere, Optional<Trial.Terms> trial, String by)
      implements Give {}

  /**
   * An authorised bypass.
   *
   * @param hold the hold's number that it quotes; 0 where none is latched
   * @param revision the revision that the person saw
   * @param causes the keys of the causes that it covers
   * @param minutes how long
   * @param by who
   */
  record BypassStart(int hold, int revision, List<String> causes, int minutes, String by)
      implements Give {
    /** Copies the list. */
    public BypassStart {
      causes = List.copyOf(causes);
    }
  }

  /**
   * More parts are to be held back.
   *
   * @param parts serials or part numbers, in words
   */
  record ContainAdded(List<String> parts) implements Note {
    /** Copies the list. */
    public ContainAdded {
      parts = List.copyOf(parts);
    }
  }

  /**
   * The cell is in watch-only, or no longer. Findings that would have held are not raised here.
   *
   * @param on whether it is
   */
  record WatchOnlySet(boolean on) implements Note {}
}

package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * All that is kept of a cell's hold, in plain values so that it can be written into a snapshot.
 *
 * @param phase the state of the table
 * @param kind where the cell is asked to stop; only rises while a hold is latched
 * @param number the number of the latched hold; 0 when none is latched
 * @param lastNumber the highest number that a hold ever had in this journal
 * @param revision new at each new cause, at each new condition, at each permit given and whenever a
 *     grant in flight is voided
 * @param causes the causes of the latched hold, oldest first
 * @param conditions the conditions that stand, oldest first
 * @param heard whether the cell said that it heard this hold
 * @param stopped whether the cell said that it stopped for lack of permit
 * @param fresh whether the evidence since the last start was fresh
 * @param trial the running trial, in phase TRIAL only
 * @param bypass the running bypass, in phase BYPASSED only
 * @param bypassStarts when bypasses began within the last shift
 * @param grant the permit that waits for its record
 * @param permitKept whether a release that is being written keeps a trial's permit
 * @param contain the parts to hold back, in words
 * @param since when the permit was last given or withdrawn
 * @param by who did that
 * @param watchOnly whether the cell is shown as watch-only
 */
public record HoldState(
    Phase phase,
    Optional<StopKind> kind,
    int number,
    int lastNumber,
    int revision,
    List<Cause> causes,
    List<Condition> conditions,
    boolean heard,
    boolean stopped,
    boolean fresh,
    Optional<Trial> trial,
    Optional<Bypass> bypass,
    List<Instant> bypassStarts,
    Optional<Grant> grant,
    boolean permitKept,
    List<String> contain,
    Instant since,
    String by,
    boolean watchOnly) {

  /** Who acts where no person did. */
  public static final String AGENT = "agent";

  /**
   * Copies the lists and checks that the parts agree with each other.
   *
   * @throws IllegalArgumentException when they do not, which is a mistake of our own
   */
  public HoldState {
    causes = List.copyOf(causes);
    conditions = List.copyOf(conditions);
    bypassStarts = List.copyOf(bypassStarts);
    contain = List.copyOf(contain);
    int revisionNow = revision;
    check((number != 0) == !causes.isEmpty(), "a number stands exactly while causes stand");
    check(number <= lastNumber, "the number is at most the last number");
    check(number == 0 || kind.isPresent(), "a latched hold has a kind");
    check(number == 0 || !runsOrNotReady(phase), "nothing is latched in this phase");
    check(number != 0 || !needsLatch(phase), "a hold is latched in this phase");
    check(phase != Phase.PERMITTED || conditions.isEmpty(), "no condition while permitted");
    check(phase != Phase.RELEASING || conditions.isEmpty(), "no condition while releasing");
    check(phase == Phase.HEARD ? heard : phase != Phase.REQUESTED || !heard, "heard fits phase");
    check((phase == Phase.TRIAL) == trial.isPresent(), "a trial runs exactly in its phase");
    check((phase == Phase.BYPASSED) == bypass.isPresent(), "a bypass runs exactly in its phase");
    check(phase == Phase.RELEASING || !permitKept, "a permit is kept only while releasing");
    check(grant.isEmpty() || grant.get().revision() == revisionNow, "a grant has this revision");
  }

  /**
   * The state before the first start: nothing is known, so the permit is absent.
   *
   * @param at when
   * @return the state
   */
  public static HoldState initial(Instant at) {
    return new HoldState(
        Phase.STARTING,
        Optional.empty(),
        0,
        0,
        0,
        List.of(),
        List.of(),
        false,
        false,
        false,
        Optional.empty(),
        Optional.empty(),
        List.of(),
        Optional.empty(),
        false,
        List.of(),
        at,
        AGENT,
        false);
  }

  /**
   * Whether the run permit is given: the phase permits, no condition stands, and no end of a
   * condition still waits for its record.
   *
   * @return true for permit present
   */
  public boolean permitted() {
    boolean byPhase = phase.permits() || permitKept;
    boolean partsLeft = trial.isEmpty() || trial.get().mayBegin();
    boolean resuming = grant.isPresent() && grant.get().kind() == Grant.Kind.RESUME;
    return byPhase && partsLeft && conditions.isEmpty() && !resuming;
  }

  private static boolean runsOrNotReady(Phase phase) {
    return phase == Phase.PERMITTED || phase == Phase.NOT_READY;
  }

  private static boolean needsLatch(Phase phase) {
    return phase == Phase.REQUESTED
        || phase == Phase.HEARD
        || phase == Phase.TRIAL
        || phase == Phase.RELEASING;
  }

  private static void check(boolean holds, String rule) {
    if (!holds) {
      throw new IllegalArgumentException("hold state: expected that " + rule);
    }
  }
}

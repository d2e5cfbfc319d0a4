package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * What people and the cell may know of a cell's hold; every output shows the same view.
 *
 * @param cell the cell
 * @param phase the state
 * @param permitted whether the run permit is given
 * @param kind where the cell is asked to stop, while something withholds the permit
 * @param number the number of the latched hold; 0 when none is latched
 * @param revision new at each new cause or condition; a release quotes it
 * @param causes the causes that stand, oldest first
 * @param conditions the conditions that stand
 * @param heard whether the cell has said that it heard this hold
 * @param stopped whether the cell has said that it stopped for lack of permit
 * @param trialPartsLeft the parts left in a trial; 0 outside one
 * @param bypassUntil when a bypass ends
 * @param contain the parts to hold back, in words: serials or counts
 * @param since when the permit was last given or withdrawn
 * @param by who did that: a person's id, or {@code agent}
 * @param watchOnly whether the cell is in watch-only: would-have-held findings are logged and the
 *     permit stays
 * @param challenge what a command about this hold must quote; new at each revision and boot
 */
public record HoldView(
    String cell,
    Phase phase,
    boolean permitted,
    Optional<StopKind> kind,
    int number,
    int revision,
    List<Cause> causes,
    List<Condition> conditions,
    boolean heard,
    boolean stopped,
    int trialPartsLeft,
    Optional<Instant> bypassUntil,
    List<String> contain,
    Instant since,
    String by,
    boolean watchOnly,
    String challenge) {
  /** Copies the lists. */
  public HoldView {
    causes = List.copyOf(causes);
    conditions = List.copyOf(conditions);
    contain = List.copyOf(contain);
  }
}

package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.Reason;

/**
 * What the config says of a cell and a verdict or a hold depends on; recorded at each start so that
 * the journal alone replays.
 *
 * @param cell the cell's id
 * @param noted the conditions that are only noted: the permit stays
 * @param held the conditions that latch a hold; all others withhold the permit while they stand
 * @param linked whether a controller's echo is expected
 * @param brokerOnly whether MQTT is the cell's only output
 * @param ackOverdue how long the cell may take to say that it heard a hold
 * @param escalate whether a hold that is not heard in time rises to next safe point
 * @param watchOnlyUntil the last day (ISO 8601, UTC) of the cell's watch-only time
 * @param holdTestEvery how often the path of a hold to the cell must be proved; empty for a cell
 *     that has no path
 * @param twoPersonsWithin how long a second person may take to confirm what quality asks for
 *     without evidence; empty where quality may not ask for it
 */
public record CellPolicy(
    String cell,
    List<Reason> noted,
    List<Reason> held,
    boolean linked,
    boolean brokerOnly,
    Duration ackOverdue,
    boolean escalate,
    Optional<String> watchOnlyUntil,
    Optional<Duration> holdTestEvery,
    Optional<Duration> twoPersonsWithin) {
  /** Copies the lists. */
  public CellPolicy {
    noted = List.copyOf(noted);
    held = List.copyOf(held);
  }
}

package org.borewarden.rules.engine;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;

/**
 * What a cell's controller says of itself (register block B of docs/hold.md, or its MQTT words).
 *
 * @param automatic in automatic
 * @param inCycle a cycle runs
 * @param stoppedAtPartEnd stopped at the end of a part for lack of permit
 * @param stoppedAtSafePoint stopped at a safe point for lack of permit
 * @param needsLocalStart a person must start the cycle at the machine
 * @param ownBypass the cell ignores the permit by its own key
 * @param manual in manual or set-up
 * @param partAtGauge a part is in front of the gauge
 * @param test in test mode
 * @param heardHold the number of the hold that it heard; 0 none
 * @param heardKind the kind that it heard
 * @param startCount counts the controller's starts
 * @param partsFinished counts finished parts, modulo 2^32; empty where the cell has no counter
 * @param partsToGauge parts between machine and gauge
 * @param context the part at the gauge, where the cell's context is valid
 */
public record CellReport(
    boolean automatic,
    boolean inCycle,
    boolean stoppedAtPartEnd,
    boolean stoppedAtSafePoint,
    boolean needsLocalStart,
    boolean ownBypass,
    boolean manual,
    boolean partAtGauge,
    boolean test,
    int heardHold,
    Optional<StopKind> heardKind,
    OptionalInt startCount,
    Optional<Long> partsFinished,
    int partsToGauge,
    PartContext context) {

  /** The same without what it heard and where it stopped. */
  CellReport nothingHeard() {
    return new CellReport(
        automatic,
        inCycle,
        false,
        false,
        needsLocalStart,
        ownBypass,
        manual,
        partAtGauge,
        test,
        0,
        Optional.empty(),
        startCount,
        partsFinished,
        partsToGauge,
        context);
  }
}

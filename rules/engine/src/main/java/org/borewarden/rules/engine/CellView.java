package org.borewarden.rules.engine;

import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Reason;

/**
 * All that a hold output shows of a cell.
 *
 * @param hold the hold
 * @param reason the reason of the first cause, else of the first condition
 * @param featureNumber the feature of the first cause; 0 none
 * @param boresUntilLimit the least forecast of the cell's features, in parts; 65535 unknown
 * @param bypassMinutesLeft minutes, rounded up; 0 outside a bypass
 * @param partsSinceJudged finished parts since the last judged bore
 * @param alertStanding whether an alert of the cell stands
 * @param wantsToBeHeard whether a latched hold is not yet heard
 * @param testRun the cell test that walks the registers now; 0 none
 */
public record CellView(
    HoldView hold,
    Reason reason,
    int featureNumber,
    int boresUntilLimit,
    int bypassMinutesLeft,
    int partsSinceJudged,
    boolean alertStanding,
    boolean wantsToBeHeard,
    long testRun) {}

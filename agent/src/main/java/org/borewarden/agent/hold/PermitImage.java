package org.borewarden.agent.hold;

import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Reason;

/**
 * All that a cell may know at one beat; the register map's block A is made of this and nothing
 * else.
 *
 * @param hold the hold
 * @param bootId random at each start of the agent, 1 to 65535
 * @param reason the first cause's or condition's reason
 * @param featureNumber the feature of the first cause; 0 none
 * @param boresUntilLimit by the forecast; 65535 unknown
 * @param bypassMinutesLeft minutes, rounded up
 * @param partsSinceJudged parts since the last judged bore
 * @param rulesRevision the low 16 bits of the rules revision
 * @param alertStanding whether an alert stands
 * @param wantsToBeHeard whether a hold waits for the cell to say that it heard it
 * @param clockUnsure whether the wall clock stepped by a second or more in the last ten minutes
 * @param brokerAway whether the control connection to the broker is lost
 * @param testRun the cell test that walks the bits now; 0 none
 * @param spindleMask machines or spindles that are held; 65535 all
 * @param requestAnswered the number of the cell's last request that was answered
 * @param answerCode its answer, the ordinal of the answer code
 * @param contextTaken the number of the cell's last context that was taken
 */
public record PermitImage(
    HoldView hold,
    int bootId,
    Reason reason,
    int featureNumber,
    int boresUntilLimit,
    int bypassMinutesLeft,
    int partsSinceJudged,
    int rulesRevision,
    boolean alertStanding,
    boolean wantsToBeHeard,
    boolean clockUnsure,
    boolean brokerAway,
    long testRun,
    int spindleMask,
    int requestAnswered,
    int answerCode,
    int contextTaken) {}

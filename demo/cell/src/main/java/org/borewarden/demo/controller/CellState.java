package org.borewarden.demo.controller;

/**
 * What can be seen of the cell from outside after a scan.
 *
 * @param automatic in automatic
 * @param inCycle a part is being cut
 * @param permit the watchdog sees a permit
 * @param stoppedAtStart stopped at the start point, a local start is needed
 * @param stoppedAtSafePoint stopped at a safe point, a local start is needed
 * @param heardHold the hold that was heard; 0 none
 * @param heardKind 0 none, 1 end of part, 2 next safe point
 * @param partsFinished the part counter
 * @param partsToGauge parts between machine and gauge
 * @param serialAtGauge the serial of the part at the gauge; empty for none
 * @param requestNumber the number of the cell's last request; 0 none
 * @param requestAnswered the number of its last request that was answered
 * @param answerCode the answer to it
 */
public record CellState(
    boolean automatic,
    boolean inCycle,
    boolean permit,
    boolean stoppedAtStart,
    boolean stoppedAtSafePoint,
    int heardHold,
    int heardKind,
    long partsFinished,
    int partsToGauge,
    String serialAtGauge,
    int requestNumber,
    int requestAnswered,
    int answerCode) {}

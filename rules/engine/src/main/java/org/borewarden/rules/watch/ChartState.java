package org.borewarden.rules.watch;

import org.borewarden.rules.stat.Moments;

/**
 * What a chart remembers. State, ended by the segment: the test's memory, the level of a sloped
 * line, the place in the order. Parameter, kept over tool changes and offsets and forgotten with
 * new rules: what the baseline taught.
 *
 * @param lastPart the part number of the last bore, without meaning before the first
 * @param started whether a bore was seen in this segment
 * @param learnt the bores of the baseline so far
 * @param level the bores of this segment less the slope, for a sloped line
 * @param firstPart the part number from which the slope is counted
 * @param lastDeviation the last bore, picometres from nominal, for the moving range
 * @param memory what the test remembers
 * @param side the side of the signal that stands, 0 where none does
 */
public record ChartState(
    long lastPart,
    boolean started,
    Learnt learnt,
    Moments level,
    long firstPart,
    double lastDeviation,
    ChartMemory memory,
    int side)
    implements WatchState {

  /**
   * What a baseline has seen.
   *
   * @param bores the bores so far
   * @param mean their mean, picometres from nominal
   * @param ranges the moving ranges of two so far
   * @param rangeSum their sum, in picometres
   */
  public record Learnt(int bores, double mean, int ranges, double rangeSum) {
    static final Learnt NONE = new Learnt(0, 0, 0, 0);
  }

  static ChartState fresh(Learnt learnt, ChartMemory memory) {
    return new ChartState(0, false, learnt, Moments.NONE, 0, 0, memory, 0);
  }
}

package org.borewarden.rules.watch;

import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What is counted for capability. A tool's life begins and ends with a tool change; one that was
 * not seen from its beginning, or is not over, is no whole one.
 *
 * @param lives the whole lives
 * @param all the bores of whole lives, picometres from nominal
 * @param slopes the lines of their segments, of one slope
 * @param under bores of whole lives under the lower limit
 * @param over those over the upper one
 * @param life the life under way
 * @param window the last bores, of whatever life; empty where the rules ask for no window
 */
public record CapabilityState(
    int lives,
    Moments all,
    SlopeSums slopes,
    long under,
    long over,
    Life life,
    CapabilityWindow window)
    implements WatchState {
  static final CapabilityState NONE =
      new CapabilityState(
          0, Moments.NONE, SlopeSums.NONE, 0, 0, Life.UNKNOWN, CapabilityWindow.NONE);

  /**
   * The life under way.
   *
   * @param fromItsBeginning whether a tool change began it
   * @param all its bores
   * @param slopes the lines of its segments before the last offset
   * @param open the line of the segment under way; x in parts from origin
   * @param origin the part from which x is counted
   * @param first the smallest x of the segment
   * @param last the largest
   * @param under its bores under the lower limit
   * @param over those over the upper one
   */
  public record Life(
      boolean fromItsBeginning,
      Moments all,
      SlopeSums slopes,
      Regression open,
      long origin,
      long first,
      long last,
      long under,
      long over) {
    static final Life UNKNOWN =
        new Life(false, Moments.NONE, SlopeSums.NONE, Regression.NONE, 0, 0, 0, 0, 0);
    static final Life BEGUN =
        new Life(true, Moments.NONE, SlopeSums.NONE, Regression.NONE, 0, 0, 0, 0, 0);
  }
}

package org.borewarden.rules.watch;

import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What the forecast remembers. State that ends with the segment: the open regression, first and
 * last part, both counters. Kept over an offset: the sums of the closed segments, which carry the
 * slope. Kept over a tool change too, and forgotten with new rules: what earlier tools taught.
 * Parameters are the settings in the rules, sigma among them where it is given.
 *
 * @param open the segment: x in parts from firstPart, y in picometres from nominal
 * @param closed the segments before an offset, of the same slope
 * @param closedLength the parts that they span together
 * @param firstPart the part number of the segment's first bore, the origin of x
 * @param earliestPart the smallest part number in the segment
 * @param lastPart the largest, x_n
 * @param alertRun the successive bores up to now whose forecast calls for an alert
 * @param holdRun the same for a hold
 * @param stands whether a finding stands
 * @param lives the tools before this one; empty unless a prior is to be learnt
 */
public record ForecastState(
    Regression open,
    SlopeSums closed,
    long closedLength,
    long firstPart,
    long earliestPart,
    long lastPart,
    int alertRun,
    int holdRun,
    boolean stands,
    Lives lives)
    implements WatchState {
  static final ForecastState NONE =
      new ForecastState(Regression.NONE, SlopeSums.NONE, 0, 0, 0, 0, 0, 0, false, Lives.NONE);

  /** The same with what the newest bore's forecast calls for; itself where that is as before. */
  ForecastState called(int alerts, int holds, boolean found) {
    return alerts == alertRun && holds == holdRun && found == stands
        ? this
        : new ForecastState(
            open,
            closed,
            closedLength,
            firstPart,
            earliestPart,
            lastPart,
            alerts,
            holds,
            found,
            lives);
  }

  /** An empty segment after tools that taught something. */
  static ForecastState after(Lives lives) {
    return new ForecastState(Regression.NONE, SlopeSums.NONE, 0, 0, 0, 0, 0, 0, false, lives);
  }

  /** How many parts the bores span, those before an offset included. */
  public long bores() {
    return closed.plus(open).count();
  }

  long length() {
    return closedLength + lastPart - earliestPart;
  }

  /**
   * What tools before this one taught.
   *
   * @param slopes their slopes, picometres per part, each from at least the minimum of bores
   * @param freedom the degrees of freedom of their residuals together
   * @param residualSquares the sum of their squared residuals
   * @param shortest the parts that the shortest of them spans
   */
  public record Lives(Moments slopes, long freedom, double residualSquares, long shortest) {
    static final Lives NONE = new Lives(Moments.NONE, 0, 0, 0);

    Lives and(Line line, long parts) {
      return new Lives(
          slopes.plus(line.slope()),
          freedom + line.freedom(),
          residualSquares + line.residualSquares(),
          slopes.count() == 0 ? parts : Math.min(shortest, parts));
    }
  }
}

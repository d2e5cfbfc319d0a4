package org.borewarden.rules.watch;

import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What the forecast remembers. State that ends with the segment: the open regression, first and
 * last part, both counters. Kept over an offset: the sums of the closed segments, which carry the
 * slope. Parameters are the settings in the rules, sigma among them where it is given.
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
    boolean stands)
    implements WatchState {
  static final ForecastState NONE =
      new ForecastState(Regression.NONE, SlopeSums.NONE, 0, 0, 0, 0, 0, 0, false);
}

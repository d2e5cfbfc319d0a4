package org.borewarden.rules.watch;

import java.util.Optional;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What the tool-offset watch remembers. State, ended by a tool change: all of it; by an offset: the
 * open line, whose slope is kept.
 *
 * @param open the line of the segment, x in parts from origin, y in picometres from nominal
 * @param closed the segments before an offset, of the same slope
 * @param origin the part from which x is counted
 * @param last the part of the last bore
 * @param offsets the offsets of this tool life
 * @param pending the offset that is not proved yet
 * @param stands whether a finding stands
 */
public record OffsetState(
    Regression open,
    SlopeSums closed,
    long origin,
    long last,
    int offsets,
    Optional<Pending> pending,
    boolean stands)
    implements WatchState {
  static final OffsetState NONE =
      new OffsetState(Regression.NONE, SlopeSums.NONE, 0, 0, 0, Optional.empty(), false);

  /**
   * An offset whose proof is awaited.
   *
   * @param asked the change that was stated, on diameter, picometres
   * @param before the line before it
   * @param origin the part from which its x is counted
   * @param bores the bores since
   * @param sum the sum of their differences from that line
   * @param sumX the sum of their x
   */
  public record Pending(
      double asked, Line before, long origin, int bores, double sum, double sumX) {}
}

package org.borewarden.rules.watch;

import java.util.Optional;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What the other features that the same tool cuts tell of the slope: metrology.md 4.9, a common
 * slope with a level of its own for each feature (fixed effects; the analysis of covariance of any
 * textbook), by weighted least squares with the inverse of each feature's variance as weight.
 *
 * <p>One part is one point: the bores of one part may well err together. They are counted as if
 * they did so entirely, so that a part tells as much as one bore (the design effect of clusters
 * with an intraclass correlation of 1, Kish 1965, from memory): counts and Sxx are divided by the
 * bores of a part. Where each part is measured at one feature, by turns, nothing is lost.
 *
 * @param others the segments of the other features, in the variance of the feature that asks
 * @param boresPerPart the bores of a part, 1 or more, as a mean over the segment
 * @param parts over how many parts they were seen
 */
public record PooledSlope(SlopeSums others, double boresPerPart, long parts) {
  /** No other feature. */
  public static final PooledSlope NONE = new PooledSlope(SlopeSums.NONE, 1, 0);

  /**
   * Checks the bores of a part.
   *
   * @throws IllegalArgumentException when they are under 1
   */
  public PooledSlope {
    if (!(boresPerPart >= 1)) {
      throw new IllegalArgumentException(
          "expected 1 or more bores of a part, found " + boresPerPart);
    }
  }

  /**
   * One feature more.
   *
   * @param state what its forecast remembers
   * @param ratio the variance of the feature that asks, over that of this one
   * @return the slope with it
   */
  public PooledSlope and(ForecastState state, double ratio) {
    SlopeSums sums = state.closed().plus(state.open());
    return new PooledSlope(
        others.and(sums.scaled(ratio)), boresPerPart, Math.max(parts, state.length()));
  }

  /** Whether any other feature has a say. */
  boolean speaks() {
    return others.sxx() > 0;
  }

  /** The line of a feature's open segment, of the slope of all. */
  Optional<Line> fit(Regression open, SlopeSums closed) {
    if (!speaks() || open.count() == 0) {
      return Line.fit(open, closed);
    }
    SlopeSums all = closed.plus(open).and(others);
    long freedom = all.count() - all.segments() - 1;
    long counted = (long) Math.floor(freedom / boresPerPart);
    double variance = freedom < 1 ? 0 : all.residualSquares() / freedom;
    return Optional.of(
        new Line(
            (long) Math.floor(all.count() / boresPerPart),
            counted,
            open.count(),
            open.meanX(),
            open.meanY(),
            all.sxy() / all.sxx(),
            all.sxx() / boresPerPart,
            variance * counted));
  }
}

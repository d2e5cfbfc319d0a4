package org.borewarden.rules.watch;

import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;

/**
 * The one-sided prediction bound of one further bore along a fitted line, toward an acceptance
 * limit: a + b x -+ q s sqrt(1 + 1/n + (x - xbar)^2 / Sxx). Set and asked again and again, so that
 * {@link RunningStream} allocates nothing.
 */
final class Bound {
  private double meanX;
  private double meanY;
  private double slope;
  private double sxx;
  private double levelCount;
  private double width;
  private double level;

  /**
   * Sets it.
   *
   * @param line a line whose slope is proven at the quantile
   * @param width q s, the quantile times the standard deviation of one bore
   * @param limit the acceptance limit that the line drifts to
   */
  static Bound of(Line line, double width, double limit) {
    Bound bound = new Bound();
    bound.set(line.meanX(), line.meanY(), line.slope(), line.sxx());
    bound.set(line.levelCount(), width, limit);
    return bound;
  }

  void set(double ofX, double ofY, double proven, double squares) {
    meanX = ofX;
    meanY = ofY;
    slope = proven;
    sxx = squares;
  }

  void set(long bores, double halfWidth, double limit) {
    levelCount = bores;
    width = halfWidth;
    level = limit;
  }

  /**
   * The smallest number of parts ahead at which the bound lies at or beyond the limit. It moves
   * toward it with every part, because the line drifts there and the interval only widens ahead.
   * The root of the bound is looked at first; what rounding leaves open is found by halving.
   *
   * @param lastX the abscissa of the last part
   * @param horizon the farthest to look for
   * @return from 1; 0 where the limit is not reached by then
   */
  int partsLeft(double lastX, long horizon) {
    long high = Math.min(horizon, WatchRule.Forecast.MAX_PARTS);
    if (high < 1 || !reached(lastX + high)) {
      return 0;
    }
    long low = 0;
    double root = Math.ceil(crossing() - lastX);
    // Where rounding spoils the root, the middle serves as well.
    long probe = root > 1 && root < high ? (long) root : root <= 1 ? 1 : high / 2;
    for (int tries = 0; tries < 2 && high - low > 1; tries++) {
      if (probe > low && probe < high) {
        if (reached(lastX + probe)) {
          high = probe;
        } else {
          low = probe;
        }
      }
      probe--;
    }
    while (high - low > 1) {
      long middle = (low + high) / 2;
      if (reached(lastX + middle)) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return (int) high;
  }

  private boolean reached(double x) {
    double distance = x - meanX;
    double at = meanY + slope * distance;
    double beyond = slope > 0 ? at - level : level - at;
    return beyond + width * Math.sqrt(1 + 1 / levelCount + distance * distance / sxx) >= 0;
  }

  /** The abscissa at which the bound first meets the limit; NaN where it never does. */
  private double crossing() {
    double variance = width * width;
    double a = slope * slope - variance / sxx;
    // (meanY - level + slope d)^2 = q^2 s^2 (1 + 1/n + d^2/Sxx), solved for d = x - meanX.
    double gap = meanY - level;
    double half = gap * slope;
    double root = Math.sqrt(half * half - a * (gap * gap - variance * (1 + 1 / levelCount)));
    return a > 0 ? meanX + (-half - root) / a : Double.NaN;
  }
}

package org.borewarden.rules.stat;

import java.util.Optional;

/**
 * A fitted line with what is needed to predict along it: the level of the open segment and the
 * slope that it shares with the closed ones.
 *
 * @param count all points
 * @param freedom the degrees of freedom of the residuals: points - segments - 1
 * @param levelCount the points that carry the level
 * @param meanX the mean of their x
 * @param meanY the mean of their y
 * @param slope the common slope
 * @param sxx the centred sum of x that carries the slope
 * @param residualSquares the sum of squared residuals
 */
public record Line(
    long count,
    long freedom,
    long levelCount,
    double meanX,
    double meanY,
    double slope,
    double sxx,
    double residualSquares) {

  /**
   * Where a line meets a level, and the interval of that.
   *
   * @param at the abscissa at which the mean line meets it
   * @param earliest one end of Fieller's interval, the smaller
   * @param latest the other end
   */
  public record Crossing(double at, double earliest, double latest) {}

  /**
   * Fits a line.
   *
   * @param open the open segment, with at least one point
   * @param closed the closed segments of the same slope
   * @return the line; empty where x does not vary
   */
  public static Optional<Line> fit(Regression open, SlopeSums closed) {
    SlopeSums sums = closed.plus(open);
    if (open.count() == 0 || !(sums.sxx() > 0)) {
      return Optional.empty();
    }
    return Optional.of(
        new Line(
            sums.count(),
            sums.count() - sums.segments() - 1,
            open.count(),
            open.meanX(),
            open.meanY(),
            sums.sxy() / sums.sxx(),
            sums.sxx(),
            sums.residualSquares()));
  }

  /**
   * The mean line.
   *
   * @param x an abscissa
   * @return its ordinate
   */
  public double at(double x) {
    return meanY + slope * (x - meanX);
  }

  /**
   * The standard deviation of one point about the line, from the residuals.
   *
   * @return s; NaN without a degree of freedom
   */
  public double residualDeviation() {
    return freedom < 1 ? Double.NaN : Math.sqrt(residualSquares / freedom);
  }

  /**
   * Whether the slope differs from none toward a side, one-sided: side b / se(b) at or over q.
   *
   * @param side 1 for upward, -1 for downward
   * @param sigma the standard deviation of one point
   * @param quantile q, of the normal distribution or of Student's t
   * @return true also for an exact line of residual deviation 0 that is not level
   */
  public boolean slopesToward(int side, double sigma, double quantile) {
    double toward = side * slope;
    return toward > 0 && toward >= quantile * sigma / Math.sqrt(sxx);
  }

  /**
   * Where the mean line meets a level, with Fieller's interval (Journal of the Royal Statistical
   * Society B 16, 1954).
   *
   * @param level the ordinate
   * @param sigma the standard deviation of one point
   * @param quantile the two-sided quantile of the interval
   * @return the crossing; empty where b^2 is at most q^2 s^2 / Sxx, so that the interval has no end
   */
  public Optional<Crossing> crossing(double level, double sigma, double quantile) {
    double variance = quantile * quantile * sigma * sigma;
    double a = slope * slope - variance / sxx;
    if (!(a > 0)) {
      return Optional.empty();
    }
    // (meanY - level + slope d)^2 = q^2 s^2 (1/n + d^2/Sxx), solved for d = x - meanX.
    double gap = meanY - level;
    double half = gap * slope;
    double root = Math.sqrt(Math.max(0, half * half - a * (gap * gap - variance / levelCount)));
    return Optional.of(
        new Crossing(meanX - gap / slope, meanX + (-half - root) / a, meanX + (-half + root) / a));
  }
}

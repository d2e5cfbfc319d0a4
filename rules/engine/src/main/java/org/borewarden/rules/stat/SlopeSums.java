package org.borewarden.rules.stat;

/**
 * What segments tell of a slope that they share: the centred sums, added up, and the residuals of
 * the fit with a common slope and own levels (the analysis of covariance of any textbook).
 *
 * @param segments the segments with at least one point
 * @param count the points in them
 * @param sxx the sum over the segments of their centred sums of x
 * @param sxy the same of products
 * @param residualSquares the sum of squared residuals about the lines of common slope
 */
public record SlopeSums(int segments, long count, double sxx, double sxy, double residualSquares) {
  /** No segment. */
  public static final SlopeSums NONE = new SlopeSums(0, 0, 0, 0, 0);

  /**
   * One segment more.
   *
   * @param segment its regression; one without points changes nothing
   * @return the sums with it
   */
  public SlopeSums plus(Regression segment) {
    return segment.count() == 0
        ? this
        : new SlopeSums(
            segments + 1,
            count + segment.count(),
            sxx + segment.sxx(),
            sxy + segment.sxy(),
            residualSquares + segment.residualSquares() + forCommonSlope(segment));
  }

  /** What it adds to the residuals that two slopes become one; 0 while one of them is not known. */
  private double forCommonSlope(Regression segment) {
    if (!(sxx > 0 && segment.sxx() > 0)) {
      return 0;
    }
    double difference = segment.slope() - sxy / sxx;
    return difference * difference * (sxx * (segment.sxx() / (sxx + segment.sxx())));
  }
}

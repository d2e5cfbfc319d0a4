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

  /**
   * The segments of both.
   *
   * @param other other segments
   * @return the sums of all
   */
  public SlopeSums and(SlopeSums other) {
    double common = 0;
    if (sxx > 0 && other.sxx > 0) {
      double difference = other.sxy / other.sxx - sxy / sxx;
      common = difference * difference * (sxx * (other.sxx / (sxx + other.sxx)));
    }
    return new SlopeSums(
        segments + other.segments,
        count + other.count,
        sxx + other.sxx,
        sxy + other.sxy,
        residualSquares + other.residualSquares + common);
  }

  /**
   * The same with another weight, or in another unit of variance.
   *
   * @param times what each square and product is multiplied by, over 0
   * @return the sums in that weight
   */
  public SlopeSums scaled(double times) {
    return new SlopeSums(segments, count, sxx * times, sxy * times, residualSquares * times);
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

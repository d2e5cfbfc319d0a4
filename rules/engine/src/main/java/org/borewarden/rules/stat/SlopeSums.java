package org.borewarden.rules.stat;

/**
 * What closed segments tell of a slope that they share with later ones: the centred sums, added up
 * (common slope, own intercepts; the analysis of covariance of any textbook).
 *
 * @param segments the segments that were closed
 * @param count the points in them
 * @param sxx the sum over the segments of their centred sums of x
 * @param sxy the same of products
 * @param syy the same of y
 */
public record SlopeSums(int segments, long count, double sxx, double sxy, double syy) {
  /** No closed segment. */
  public static final SlopeSums NONE = new SlopeSums(0, 0, 0, 0, 0);

  /**
   * One closed segment more.
   *
   * @param closed its regression; one without points changes nothing
   * @return the sums with it
   */
  public SlopeSums plus(Regression closed) {
    return closed.count() == 0
        ? this
        : new SlopeSums(
            segments + 1,
            count + closed.count(),
            sxx + closed.sxx(),
            sxy + closed.sxy(),
            syy + closed.syy());
  }
}

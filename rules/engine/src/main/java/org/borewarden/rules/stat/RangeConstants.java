package org.borewarden.rules.stat;

/**
 * What the range and the standard deviation of a small normal sample say of its sigma: d2 and d3,
 * the mean and the standard deviation of the relative range, and c4, the mean of the relative
 * standard deviation. Computed to 9 decimals; printed in ASTM E2587 and in ISO 7870-2 with fewer.
 *
 * @param n the sample's size, 2 to 25
 * @param d2 the mean of the range over sigma
 * @param d3 the standard deviation of the range over sigma
 * @param c4 the mean of the standard deviation (with n - 1) over sigma
 */
public record RangeConstants(int n, double d2, double d3, double c4) {
  /** The smallest sample that the tables give. */
  public static final int FEWEST = 2;

  /** The largest sample that the tables give. */
  public static final int MOST = 25;

  private static final double[][] TABLE = {
    {1.128379167, 0.852502466, 0.797884561},
    {1.692568751, 0.888368004, 0.886226925},
    {2.058750746, 0.879808203, 0.921317732},
    {2.325928947, 0.864081941, 0.939985603},
    {2.534412721, 0.848039686, 0.951532862},
    {2.704356751, 0.833205336, 0.959368789},
    {2.847200612, 0.819831490, 0.965030456},
    {2.970026324, 0.807834275, 0.969310700},
    {3.077505462, 0.797050674, 0.972659274},
    {3.172872704, 0.787314621, 0.975350077},
    {3.258455280, 0.778478341, 0.977559352},
    {3.335980354, 0.770416202, 0.979405604},
    {3.406763108, 0.763023096, 0.980971437},
    {3.471826890, 0.756211430, 0.982316177},
    {3.531982786, 0.749908089, 0.983483532},
    {3.587883962, 0.744051784, 0.984506405},
    {3.640063758, 0.738590853, 0.985410044},
    {3.688963023, 0.733481496, 0.986214137},
    {3.734950120, 0.728686346, 0.986934268},
    {3.778335830, 0.724173341, 0.987582929},
    {3.819384643, 0.719914808, 0.988170253},
    {3.858323423, 0.715886735, 0.988704545},
    {3.895348148, 0.712068175, 0.989192675},
    {3.930629220, 0.708440766, 0.989640376}
  };

  /**
   * The constants of a sample's size.
   *
   * @param n 2 to 25
   * @return its constants
   * @throws IllegalArgumentException for another n
   */
  public static RangeConstants of(int n) {
    if (n < FEWEST || n > MOST) {
      throw new IllegalArgumentException(
          "expected a sample of " + FEWEST + " to " + MOST + " values, found " + n);
    }
    double[] row = TABLE[n - FEWEST];
    return new RangeConstants(n, row[0], row[1], row[2]);
  }

  /**
   * How far a range may go at three sigma, over the mean range.
   *
   * @return D4
   */
  public double upperRangeFactor() {
    return 1 + 3 * d3 / d2;
  }

  /**
   * How small a range may be at three sigma, over the mean range.
   *
   * @return D3, 0 where nothing is too small
   */
  public double lowerRangeFactor() {
    return Math.max(0, 1 - 3 * d3 / d2);
  }

  /**
   * How far a mean may lie from the centre at three sigma, in mean ranges.
   *
   * @return A2
   */
  public double meanFactorOfRange() {
    return 3 / (d2 * Math.sqrt(n));
  }

  /**
   * How far a mean may lie from the centre at three sigma, in mean standard deviations.
   *
   * @return A3
   */
  public double meanFactorOfDeviation() {
    return 3 / (c4 * Math.sqrt(n));
  }

  /**
   * How far a standard deviation may go at three sigma, over the mean one.
   *
   * @return B4
   */
  public double upperDeviationFactor() {
    return 1 + 3 * Math.sqrt(1 - c4 * c4) / c4;
  }

  /**
   * How small a standard deviation may be at three sigma, over the mean one.
   *
   * @return B3, 0 where nothing is too small
   */
  public double lowerDeviationFactor() {
    return Math.max(0, 1 - 3 * Math.sqrt(1 - c4 * c4) / c4);
  }
}

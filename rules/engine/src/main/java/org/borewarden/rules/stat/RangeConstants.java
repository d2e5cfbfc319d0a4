package org.borewarden.rules.stat;

/**
 * What the range of a small normal sample says of its sigma. Computed to 9 decimals; printed in
 * ASTM E2587 and in ISO 7870-2 with fewer.
 *
 * @param n the sample's size, 2 to 25
 * @param d2 the mean of the range over sigma
 * @param d3 the standard deviation of the range over sigma
 */
public record RangeConstants(int n, double d2, double d3) {
  /** The smallest sample that the tables give. */
  public static final int FEWEST = 2;

  /** The largest sample that the tables give. */
  public static final int MOST = 25;

  private static final double[][] TABLE = {
    {1.128379167, 0.852502466},
    {1.692568751, 0.888368004},
    {2.058750746, 0.879808203},
    {2.325928947, 0.864081941},
    {2.534412721, 0.848039686},
    {2.704356751, 0.833205336},
    {2.847200612, 0.819831490},
    {2.970026324, 0.807834275},
    {3.077505462, 0.797050674},
    {3.172872704, 0.787314621},
    {3.258455280, 0.778478341},
    {3.335980354, 0.770416202},
    {3.406763108, 0.763023096},
    {3.471826890, 0.756211430},
    {3.531982786, 0.749908089},
    {3.587883962, 0.744051784},
    {3.640063758, 0.738590853},
    {3.688963023, 0.733481496},
    {3.734950120, 0.728686346},
    {3.778335830, 0.724173341},
    {3.819384643, 0.719914808},
    {3.858323423, 0.715886735},
    {3.895348148, 0.712068175},
    {3.930629220, 0.708440766}
  };

  /**
   * The mean of the sample's standard deviation over sigma, by c4(n + 1) c4(n) = sqrt((n - 1) / n).
   *
   * @return c4
   */
  public double c4() {
    double c4 = Math.sqrt(2 / Math.PI);
    for (int k = FEWEST; k < n; k++) {
      c4 = Math.sqrt((k - 1.0) / k) / c4;
    }
    return c4;
  }

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
    return new RangeConstants(n, row[0], row[1]);
  }
}

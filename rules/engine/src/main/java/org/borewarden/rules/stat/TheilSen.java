package org.borewarden.rules.stat;

import java.util.Arrays;

/**
 * The slope of Theil (1950), the median of the slopes of all pairs, with the interval of Sen
 * (Journal of the American Statistical Association 63, 1968) from the ranks, corrected for ties. A
 * few wild points move neither far. All pairs are looked at: n (n - 1) / 2, 496 for 32 points.
 *
 * @param slope the median of the pairs' slopes
 * @param low the lower end of the interval
 * @param high the upper end
 */
public record TheilSen(double slope, double low, double high) {
  /**
   * Fits a line.
   *
   * @param x the abscissas, each another
   * @param y the ordinates, as many, at least 3
   * @param quantile z, two-sided, of the standard normal distribution
   * @return the slope and its interval
   */
  public static TheilSen of(double[] x, double[] y, double quantile) {
    int n = x.length;
    double[] slopes = new double[n * (n - 1) / 2];
    int pairs = 0;
    for (int i = 0; i < n; i++) {
      for (int j = i + 1; j < n; j++) {
        slopes[pairs++] = (y[j] - y[i]) / (x[j] - x[i]);
      }
    }
    Arrays.sort(slopes);
    double half = quantile * Math.sqrt(variance(y)) / 2;
    int upper = (int) Math.min(Math.round(pairs / 2.0 + half), pairs - 1);
    int lower = (int) Math.max(Math.round(pairs / 2.0 - half) - 1, 0);
    double middle =
        pairs % 2 == 1 ? slopes[pairs / 2] : (slopes[pairs / 2 - 1] + slopes[pairs / 2]) / 2;
    return new TheilSen(middle, slopes[lower], slopes[upper]);
  }

  /** The variance of Kendall's S: (n (n-1) (2n+5) - sum t (t-1) (2t+5)) / 18 over ties of t. */
  private static double variance(double[] y) {
    double[] sorted = y.clone();
    Arrays.sort(sorted);
    double variance = ofGroup(sorted.length);
    int from = 0;
    for (int i = 1; i <= sorted.length; i++) {
      if (i == sorted.length || Double.compare(sorted[i], sorted[from]) != 0) {
        variance -= ofGroup(i - from);
        from = i;
      }
    }
    return variance / 18;
  }

  private static double ofGroup(int n) {
    return (double) n * (n - 1) * (2 * n + 5);
  }
}

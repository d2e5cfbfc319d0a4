package org.borewarden.rules.stat;

/**
 * Running mean and sum of squares, one value at a time, after Welford (Technometrics 4, 1962).
 *
 * <p>Feed deviations, not sizes: whole picometres from nominal are exact in a double, and then the
 * variance keeps at least 14 digits on the reference sets of NIST. Fed with raw sizes far from zero
 * it keeps fewer, because the decimals of the sizes themselves are already rounded.
 *
 * @param count the values so far
 * @param mean their mean; 0 without values
 * @param squares the sum of the squared differences from the mean
 */
public record Moments(long count, double mean, double squares) {
  /** No values. */
  public static final Moments NONE = new Moments(0, 0, 0);

  /**
   * One value more.
   *
   * @param value a finite value
   * @return the moments with it
   */
  public Moments plus(double value) {
    long n = count + 1;
    double difference = value - mean;
    double nextMean = mean + difference / n;
    return new Moments(n, nextMean, squares + difference * (value - nextMean));
  }

  /**
   * The values of both (Chan, Golub and LeVeque 1983).
   *
   * @param other other values
   * @return the moments of all
   */
  public Moments and(Moments other) {
    if (count == 0 || other.count == 0) {
      return count == 0 ? other : this;
    }
    long n = count + other.count;
    double difference = other.mean - mean;
    return new Moments(
        n,
        mean + difference * other.count / n,
        squares + other.squares + difference * difference * ((double) count * other.count / n));
  }

  /**
   * The standard deviation of the sample, with n - 1.
   *
   * @return s; NaN under two values
   */
  public double standardDeviation() {
    return count < 2 ? Double.NaN : Math.sqrt(squares / (count - 1));
  }
}

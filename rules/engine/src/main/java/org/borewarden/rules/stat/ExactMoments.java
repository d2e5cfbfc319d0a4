package org.borewarden.rules.stat;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;

/**
 * Count, sum and sum of squares of whole numbers, kept exactly: the square of a deviation of one
 * millimetre is 1e18 square picometres, so that sums of a few no longer fit a long and lose digits
 * in a double. For the few places of a bore or the readings of a check; {@link Moments} is for long
 * runs, where one value more must cost nothing.
 *
 * @param count the values so far
 * @param sum their sum
 * @param squares the sum of their squares
 */
public record ExactMoments(long count, BigInteger sum, BigInteger squares) {
  /** No values. */
  public static final ExactMoments NONE = new ExactMoments(0, BigInteger.ZERO, BigInteger.ZERO);

  /**
   * One value more.
   *
   * @param value any
   * @return the moments with it
   */
  public ExactMoments plus(long value) {
    BigInteger exact = BigInteger.valueOf(value);
    return new ExactMoments(count + 1, sum.add(exact), squares.add(exact.multiply(exact)));
  }

  /**
   * The mean.
   *
   * @return the double nearest to it, but for one rounding to 34 digits; NaN without values
   */
  public double mean() {
    return count == 0
        ? Double.NaN
        : new BigDecimal(sum)
            .divide(BigDecimal.valueOf(count), MathContext.DECIMAL128)
            .doubleValue();
  }

  /**
   * The standard deviation of the sample, sqrt((n sum(x^2) - sum(x)^2) / (n (n - 1))): under the
   * root nothing is rounded.
   *
   * @return s; NaN under two values
   */
  public double standardDeviation() {
    if (count < 2) {
      return Double.NaN;
    }
    BigInteger n = BigInteger.valueOf(count);
    BigInteger above = n.multiply(squares).subtract(sum.multiply(sum));
    BigInteger below = n.multiply(n.subtract(BigInteger.ONE));
    return new BigDecimal(above)
        .divide(new BigDecimal(below), MathContext.DECIMAL128)
        .sqrt(MathContext.DECIMAL128)
        .doubleValue();
  }
}

package org.borewarden.rules.uncertainty;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * How well the judged size is known. Rounded up to the picometre once, when it is stated.
 *
 * @param standard u, the standard uncertainty, above 0
 * @param expanded U = k u
 * @param k the coverage factor
 * @param budget where u came from, if a budget was given
 */
public record Uncertainty(Length standard, Length expanded, double k, Optional<Budget> budget) {
  /**
   * Checks the lengths.
   *
   * @throws IllegalArgumentException when u or U is not above 0
   */
  public Uncertainty {
    if (!standard.isAbove(Length.ZERO) || !expanded.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("an uncertainty must be above 0");
    }
  }

  /**
   * From a standard uncertainty, with k = 2.
   *
   * @param standard u
   * @return U = 2 u
   */
  public static Uncertainty standard(Length standard) {
    return new Uncertainty(
        standard, new Length(Math.multiplyExact(2, standard.picometres())), 2, Optional.empty());
  }

  /**
   * From an expanded uncertainty.
   *
   * @param expanded U
   * @param k its coverage factor, 1 or more
   * @return u = U / k
   */
  public static Uncertainty expanded(Length expanded, double k) {
    return new Uncertainty(up(expanded.picometres() / k), expanded, k, Optional.empty());
  }

  /**
   * From a budget.
   *
   * @param budget the components
   * @param coverage k, or the probability that gives it
   * @return u and U = k u
   */
  public static Uncertainty of(Budget budget, Coverage coverage) {
    double k = coverage.factor(budget.freedom());
    double u = budget.picometres();
    return new Uncertainty(up(u), up(k * u), k, Optional.of(budget));
  }

  /**
   * The same with something that is not correlated beside it, as a temperature has; k stays.
   *
   * @param picometres a standard uncertainty, 0 or more
   * @return the root of the sum of squares
   */
  public Uncertainty beside(double picometres) {
    if (picometres == 0) {
      return this;
    }
    double u = Math.hypot((double) standard.picometres(), picometres);
    return new Uncertainty(up(u), up(k * u), k, budget);
  }

  /** Up, so that no rounding makes a size look better known than it is. */
  private static Length up(double picometres) {
    return new Length((long) Math.ceil(picometres));
  }
}

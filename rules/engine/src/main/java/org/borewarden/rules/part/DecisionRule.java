package org.borewarden.rules.part;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.borewarden.rules.measure.Length;

/**
 * How a bore is compared with its limits (ISO 14253-1, ASME B89.7.3.1; titles and examples only).
 */
public sealed interface DecisionRule {

  /** Within when the value lies inside the limits, the limits included. */
  record Simple() implements DecisionRule {}

  /**
   * Within only when the value lies inside the limits by a guard band; out only when it lies
   * outside by the guard band; undecided between.
   *
   * @param lower the guard band at the lower limit, g >= 0, already rounded up to the picometre
   * @param upper the guard band at the upper limit
   * @param expandedUncertainty U with k = 2, from which the guard bands came
   */
  record Guard(Length lower, Length upper, Length expandedUncertainty) implements DecisionRule {
    /**
     * Checks the lengths.
     *
     * @throws IllegalArgumentException when a guard band is negative or U is not positive
     */
    public Guard {
      if (lower.isBelow(Length.ZERO) || upper.isBelow(Length.ZERO)) {
        throw new IllegalArgumentException("a guard band must not be negative");
      }
      if (!expandedUncertainty.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the expanded uncertainty must be above 0");
      }
    }

    /**
     * The guard bands g = r U, rounded up to the picometre, once.
     *
     * @param ratio r at both limits, 0 or more; 1 is the usual one, 0 is simple acceptance
     * @param expandedUncertainty U with k = 2
     * @return the rule
     */
    public static Guard of(BigDecimal ratio, Length expandedUncertainty) {
      return of(ratio, ratio, expandedUncertainty);
    }

    /**
     * The guard bands g = r U where the limits differ, rounded up to the picometre, once.
     *
     * @param lowerRatio r at the lower limit, 0 or more
     * @param upperRatio r at the upper limit, 0 or more
     * @param expandedUncertainty U with k = 2
     * @return the rule
     * @throws ArithmeticException when a guard band leaves the range of a length
     */
    public static Guard of(
        BigDecimal lowerRatio, BigDecimal upperRatio, Length expandedUncertainty) {
      return new Guard(
          band(lowerRatio, expandedUncertainty),
          band(upperRatio, expandedUncertainty),
          expandedUncertainty);
    }

    private static Length band(BigDecimal ratio, Length expandedUncertainty) {
      return new Length(
          ratio
              .multiply(BigDecimal.valueOf(expandedUncertainty.picometres()))
              .setScale(0, RoundingMode.CEILING)
              .longValueExact());
    }
  }

  /**
   * Proven at a probability of conformity.
   *
   * @param probability p, over 0.5 and under 1, such as 0.95
   * @param standardUncertainty u of the value that is judged
   */
  record Proven(double probability, Length standardUncertainty) implements DecisionRule {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when p is not over 0.5 and under 1 or u is not positive
     */
    public Proven {
      if (!(probability > 0.5 && probability < 1)) {
        throw new IllegalArgumentException(
            "expected a probability over 0.5 and under 1, found " + probability);
      }
      if (!standardUncertainty.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the standard uncertainty must be above 0");
      }
    }
  }
}

package org.borewarden.rules.part;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * How a bore is compared with its limits (ISO 14253-1, ASME B89.7.3.1; titles and examples only).
 */
public sealed interface DecisionRule {

  /**
   * How well the judged size is known.
   *
   * @return empty where nothing is stated, which only simple acceptance allows
   */
  Optional<Uncertainty> stated();

  /**
   * The same rule with another uncertainty, as a temperature makes it.
   *
   * @param next the uncertainty
   * @return a rule whose guard bands follow it, where they are multiples of U
   */
  DecisionRule with(Uncertainty next);

  /**
   * Within when the value lies inside the limits, the limits included.
   *
   * @param stated the uncertainty, where one is stated: for the probability beside the verdict
   */
  record Simple(Optional<Uncertainty> stated) implements DecisionRule {
    /** Nothing is stated. */
    public Simple() {
      this(Optional.empty());
    }

    @Override
    public DecisionRule with(Uncertainty next) {
      return stated.isEmpty() ? this : new Simple(Optional.of(next));
    }
  }

  /** How far from a limit a value must lie. */
  sealed interface Band {
    /**
     * The width for an uncertainty, rounded up to the picometre.
     *
     * @param uncertainty the uncertainty of the judged size
     * @return g, 0 or more
     */
    Length width(Uncertainty uncertainty);

    /**
     * A multiple of U.
     *
     * @param ratio r, 0 or more; 1 is the usual one, 0 is simple acceptance
     */
    record Times(BigDecimal ratio) implements Band {
      @Override
      public Length width(Uncertainty uncertainty) {
        return new Length(
            ratio
                .multiply(BigDecimal.valueOf(uncertainty.expanded().picometres()))
                .setScale(0, RoundingMode.CEILING)
                .longValueExact());
      }
    }

    /**
     * A length, whatever U is.
     *
     * @param length g, 0 or more
     */
    record Fixed(Length length) implements Band {
      @Override
      public Length width(Uncertainty uncertainty) {
        return length;
      }
    }
  }

  /**
   * Within only when the value lies inside the limits by a guard band; out only when it lies
   * outside by the guard band; undecided between.
   *
   * @param lowerBand the guard band at the lower limit
   * @param upperBand the guard band at the upper limit
   * @param uncertainty from which the guard bands come
   */
  record Guard(Band lowerBand, Band upperBand, Uncertainty uncertainty) implements DecisionRule {
    /**
     * Checks the bands.
     *
     * @throws IllegalArgumentException when a guard band is negative
     * @throws ArithmeticException when a guard band leaves the range of a length
     */
    public Guard {
      if (lowerBand.width(uncertainty).isBelow(Length.ZERO)
          || upperBand.width(uncertainty).isBelow(Length.ZERO)) {
        throw new IllegalArgumentException("a guard band must not be negative");
      }
    }

    /**
     * The guard bands g = r U with k = 2.
     *
     * @param ratio r at both limits, 0 or more
     * @param expandedUncertainty U with k = 2
     * @return the rule
     */
    public static Guard of(BigDecimal ratio, Length expandedUncertainty) {
      return of(ratio, ratio, expandedUncertainty);
    }

    /**
     * The guard bands g = r U with k = 2 where the limits differ.
     *
     * @param lowerRatio r at the lower limit, 0 or more
     * @param upperRatio r at the upper limit, 0 or more
     * @param expandedUncertainty U with k = 2
     * @return the rule
     */
    public static Guard of(
        BigDecimal lowerRatio, BigDecimal upperRatio, Length expandedUncertainty) {
      return new Guard(
          new Band.Times(lowerRatio),
          new Band.Times(upperRatio),
          Uncertainty.expanded(expandedUncertainty, 2));
    }

    /**
     * The guard band at the lower limit.
     *
     * @return g, rounded up to the picometre
     */
    public Length lower() {
      return lowerBand.width(uncertainty);
    }

    /**
     * The guard band at the upper limit.
     *
     * @return g, rounded up to the picometre
     */
    public Length upper() {
      return upperBand.width(uncertainty);
    }

    @Override
    public Optional<Uncertainty> stated() {
      return Optional.of(uncertainty);
    }

    @Override
    public DecisionRule with(Uncertainty next) {
      return new Guard(lowerBand, upperBand, next);
    }
  }

  /**
   * Proven at a probability of conformity.
   *
   * @param probability p, over 0.5 and under 1, such as 0.95
   * @param uncertainty of the value that is judged
   */
  record Proven(double probability, Uncertainty uncertainty) implements DecisionRule {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when p is not over 0.5 and under 1
     */
    public Proven {
      if (!(probability > 0.5 && probability < 1)) {
        throw new IllegalArgumentException(
            "expected a probability over 0.5 and under 1, found " + probability);
      }
    }

    /**
     * With a standard uncertainty and k = 2.
     *
     * @param probability p
     * @param standardUncertainty u of the value that is judged, above 0
     */
    public Proven(double probability, Length standardUncertainty) {
      this(probability, Uncertainty.standard(standardUncertainty));
    }

    @Override
    public Optional<Uncertainty> stated() {
      return Optional.of(uncertainty);
    }

    @Override
    public DecisionRule with(Uncertainty next) {
      return new Proven(probability, next);
    }
  }
}

package org.borewarden.rules.part;

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
  record Guard(Length lower, Length upper, Length expandedUncertainty) implements DecisionRule {}

  /**
   * Proven at a probability of conformity.
   *
   * @param probability p, such as 0.95
   * @param standardUncertainty u of the value that is judged
   */
  record Proven(double probability, Length standardUncertainty) implements DecisionRule {}
}

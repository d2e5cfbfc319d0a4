package org.borewarden.rules.part;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * The limits of form of a plan. Noise makes form: a difference of two readings has the uncertainty
 * sqrt(2) times that of one, whatever the uncertainty of the size, so form has its own.
 *
 * @param limits each kind once
 * @param repeatability the standard deviation of one reading; absent for simple acceptance
 * @param probability how surely form must be within or over its limit, over 0.5 and under 1
 * @param action what a bore over a limit of form does
 */
public record FormRules(
    List<FormLimit> limits, Optional<Length> repeatability, double probability, Action action) {
  /**
   * Copies the list and checks the values.
   *
   * @throws IllegalArgumentException when a kind is limited twice, none is, the repeatability is
   *     not above 0 or the probability out of its range
   */
  public FormRules {
    limits = List.copyOf(limits);
    Check.unique("limit of form", limits.stream().map(FormLimit::kind).toList());
    if (limits.isEmpty()) {
      throw new IllegalArgumentException("limits of form without a limit");
    }
    if (repeatability.isPresent() && !repeatability.get().isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("the repeatability must be above 0");
    }
    if (!(probability > 0.5 && probability < 1)) {
      throw new IllegalArgumentException(
          "expected a probability over 0.5 and under 1, found " + probability);
    }
  }
}

package org.borewarden.rules.part;

import java.util.Optional;

/**
 * How the readings of a feature become a bore.
 *
 * @param plan the places; without a plan one reading is one bore
 * @param confirmation how an out-of-limit reading is measured again; without it, it counts
 */
public record Measuring(Optional<Plan> plan, Optional<Confirmation> confirmation) {
  /** One reading is one bore, and counts. */
  public static final Measuring SINGLE = new Measuring(Optional.empty(), Optional.empty());

  /**
   * Checks that plan and confirmation fit.
   *
   * @throws IllegalArgumentException when single readings are confirmed that do not decide
   */
  public Measuring {
    if (confirmation.isPresent() && plan.map(p -> p.size() != SizeRule.EVERY).orElse(false)) {
      throw new IllegalArgumentException(
          "a confirmation needs the size rule every: under another, one reading is not out");
    }
  }
}

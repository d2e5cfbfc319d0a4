package org.borewarden.rules.part;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * The limits of size of a feature; at least one stands.
 *
 * @param lower the smallest size that is good, L
 * @param upper the largest size that is good, V
 */
public record Limits(Optional<Length> lower, Optional<Length> upper) {
  /**
   * Checks that at least one limit stands and that they are the right way round.
   *
   * @throws IllegalArgumentException when no limit stands or lower is not below upper
   */
  public Limits {
    if (lower.isEmpty() && upper.isEmpty()) {
      throw new IllegalArgumentException("at least one limit must stand");
    }
    if (lower.isPresent() && upper.isPresent() && !lower.get().isBelow(upper.get())) {
      throw new IllegalArgumentException("the lower limit must be below the upper limit");
    }
  }

  /**
   * Whether a value lies within, the limits included.
   *
   * @param value the value
   * @return true where no limit that stands is passed
   */
  public boolean include(Length value) {
    return (lower.isEmpty() || !value.isBelow(lower.get()))
        && (upper.isEmpty() || !value.isAbove(upper.get()));
  }
}

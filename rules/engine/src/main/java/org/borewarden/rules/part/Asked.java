package org.borewarden.rules.part;

import java.math.BigDecimal;
import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * What {@code check} asks of a measurement before the first bore. Not met, it is a finding, never a
 * verdict.
 *
 * @param ratio the least T/(2U); 4 is the 4:1 rule of ASME B89.7.3.1 (from memory)
 * @param steps the least T/r, the tolerance in steps of the display (common practice, no source)
 * @param tolerance what to compare with where only one limit stands, so that there is no T
 */
public record Asked(BigDecimal ratio, int steps, Optional<Length> tolerance) {
  /** 4:1, a tenth of the tolerance, and no comparison value. */
  public static final Asked USUAL = new Asked(new BigDecimal("4"), 10, Optional.empty());

  /**
   * Checks the ranges.
   *
   * @throws IllegalArgumentException when one is not above 0
   */
  public Asked {
    if (ratio.signum() <= 0) {
      throw new IllegalArgumentException("expected a ratio above 0, found " + ratio);
    }
    Check.range("the steps in the tolerance", steps, 1, 1000);
    if (tolerance.filter(t -> !t.isAbove(Length.ZERO)).isPresent()) {
      throw new IllegalArgumentException("the tolerance to compare with must be above 0");
    }
  }
}

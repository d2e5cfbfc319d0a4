package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/**
 * How the process was seen to spread before: for the risks that {@code check} prints, never for a
 * verdict.
 *
 * @param mean the mean size
 * @param sigma the standard deviation of true sizes, above 0
 */
public record Prior(Length mean, Length sigma) {
  /**
   * Checks the spread.
   *
   * @throws IllegalArgumentException when sigma is not above 0
   */
  public Prior {
    if (!sigma.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("sigma must be above 0");
    }
  }
}

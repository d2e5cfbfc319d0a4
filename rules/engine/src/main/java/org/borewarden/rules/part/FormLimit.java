package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/**
 * The most of a kind of form that is good.
 *
 * @param kind what is limited
 * @param most the limit, above 0
 */
public record FormLimit(FormKind kind, Length most) {
  /**
   * Checks the limit.
   *
   * @throws IllegalArgumentException when it is not above 0
   */
  public FormLimit {
    if (!most.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("a limit of form must be above 0");
    }
  }
}

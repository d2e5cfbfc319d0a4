package org.borewarden.rules.judge;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * The values that are accepted: the limits of size moved inward as the decision rule asks.
 *
 * @param lower the smallest value that is within, where a lower limit stands
 * @param upper the largest value that is within, where an upper limit stands; both absent where no
 *     value at all can be accepted
 */
public record AcceptanceZone(Optional<Length> lower, Optional<Length> upper) {
  /** No value can be accepted: the uncertainty is too large for the tolerance. */
  public static final AcceptanceZone NONE = new AcceptanceZone(Optional.empty(), Optional.empty());

  /**
   * Whether no value can be accepted. At least one limit of size always stands, so that a zone
   * without ends is none.
   *
   * @return true for {@link #NONE}
   */
  public boolean admitsNone() {
    return lower.isEmpty() && upper.isEmpty();
  }
}

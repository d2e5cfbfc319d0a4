package org.borewarden.rules.part;

import java.util.Optional;
import org.borewarden.rules.uncertainty.Expansion;

/**
 * What stands behind the verdicts of a feature beside the rule itself.
 *
 * @param party for whom it is judged
 * @param temperature what temperature does to a size, where it is stated
 * @param prior how the process was seen to spread, where it is stated
 * @param asked what {@code check} asks of the measurement
 * @param drawing after which standard the drawing gives its size
 */
public record Assurance(
    Party party,
    Optional<Expansion> temperature,
    Optional<Prior> prior,
    Asked asked,
    Drawing drawing) {
  /** Judged for the supplier, nothing else stated. */
  public static final Assurance NONE =
      new Assurance(Party.SUPPLIER, Optional.empty(), Optional.empty(), Asked.USUAL, Drawing.ISO);
}

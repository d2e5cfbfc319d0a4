package org.borewarden.rules.engine;

import java.util.List;

/**
 * What one event did.
 *
 * @param next the state after it
 * @param decisions what is recorded, in order
 * @param effects what is not
 */
public record Step(State next, List<Decision> decisions, List<Effect> effects) {
  /** Copies the lists. */
  public Step {
    decisions = List.copyOf(decisions);
    effects = List.copyOf(effects);
  }
}

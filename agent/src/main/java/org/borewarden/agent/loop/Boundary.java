package org.borewarden.agent.loop;

import java.util.List;
import java.util.function.Consumer;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;

/**
 * The one boundary at which a mistake of our own is caught, at run time and in a replay alike: else
 * an event that failed once would keep the agent from ever starting again.
 */
final class Boundary {
  private Boundary() {}

  /** Steps the engine; an event that fails changes nothing and is told. */
  static Step step(State state, Stamped event, Consumer<RuntimeException> fault) {
    try {
      return Engine.step(state, event);
    } catch (RuntimeException e) {
      fault.accept(e);
      return new Step(state, List.of(), List.of());
    }
  }
}

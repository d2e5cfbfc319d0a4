package org.borewarden.agent.board;

import java.time.Duration;
import java.util.List;
import java.util.OptionalLong;
import org.borewarden.rules.engine.State;

/** How the agent stands, for whoever looks. Thread-safe; never waits. */
public interface Glance {
  /**
   * What is seen at one look.
   *
   * @param state the state after the last turn, a value that nobody changes
   * @param recorded the last seq that led to it, once all up to it is synced
   */
  record Seen(State state, OptionalLong recorded) {}

  /**
   * The state as it stands.
   *
   * @return after the last turn
   */
  Seen seen();

  /**
   * How long ago the loop last turned.
   *
   * @return the time, by the monotonic clock
   */
  Duration sinceTurn();

  /**
   * What is wrong with the rules file.
   *
   * @return one line each; empty while it is good
   */
  List<String> refusedLines();
}

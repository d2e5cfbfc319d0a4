package org.borewarden.agent.observe;

import java.time.Duration;
import java.util.List;

/**
 * What the health pages ask of the running agent. Asked on the server's threads; must not block.
 */
public interface HealthView {
  /**
   * How long ago the loop last turned.
   *
   * @return the time since then by the monotonic clock; before the first turn, since the start
   */
  Duration sinceLastTurn();

  /**
   * Why the agent is not ready to judge and publish.
   *
   * @return one sentence each: rules, journal, sources; empty when it is ready
   */
  List<String> notReadyBecause();

  /**
   * What a person should look at though the agent is ready.
   *
   * @return one sentence each
   */
  default List<String> warnings() {
    return List.of();
  }
}

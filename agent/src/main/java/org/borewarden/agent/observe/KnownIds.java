package org.borewarden.agent.observe;

import java.util.Set;

/**
 * The ids that may stand in labels, so that no sender and no device can make new series. Anything
 * else is counted as {@code other}.
 *
 * @param sources gauges and ports, from the config
 * @param cells the machine cells, from the config
 * @param commands the names of the commands that the agent knows
 */
public record KnownIds(Set<String> sources, Set<String> cells, Set<String> commands) {
  /** Copies the sets. */
  public KnownIds {
    sources = Set.copyOf(sources);
    cells = Set.copyOf(cells);
    commands = Set.copyOf(commands);
  }

  String source(String id) {
    return sources.contains(id) ? id : Meters.OTHER;
  }

  String cell(String id) {
    return cells.contains(id) ? id : Meters.OTHER;
  }

  String command(String name) {
    return commands.contains(name) ? name : Meters.OTHER;
  }
}

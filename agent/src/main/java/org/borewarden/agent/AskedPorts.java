package org.borewarden.agent;

import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.source.AskingLink;
import org.borewarden.rules.engine.Effect;

/** Asks the gauges that a command asks, once that is recorded. */
final class AskedPorts implements Outlet {
  private final Map<String, AskingLink> links = new ConcurrentHashMap<>();

  /** Names the link of a port. Any thread. */
  void named(String port, AskingLink link) {
    links.put(port, link);
  }

  @Override
  public void stepped(Turn turn) {
    // Nothing is asked before it is recorded.
  }

  @Override
  public void synced(Turn turn) {
    for (Effect effect : turn.step().effects()) {
      if (effect instanceof Effect.PortAsked asked) {
        Optional.ofNullable(links.get(asked.port())).ifPresent(AskingLink::ask);
      }
    }
  }
}

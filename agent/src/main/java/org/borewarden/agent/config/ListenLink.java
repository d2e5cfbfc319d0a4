package org.borewarden.agent.config;

import java.util.List;

/**
 * A port of this machine that a gauge, or its interface box, connects to.
 *
 * @param host the address to listen on
 * @param port its port
 * @param peers who may call, in numbers; none for this machine only
 */
public record ListenLink(String host, int port, List<String> peers) implements PortConfig.Link {
  /** Copies the list. */
  public ListenLink {
    peers = List.copyOf(peers);
  }
}

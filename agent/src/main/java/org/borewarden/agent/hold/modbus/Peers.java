package org.borewarden.agent.hold.modbus;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.SocketAddress;
import java.net.UnknownHostException;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Who may call the agent's registers. Without names only this machine may. A refused caller is
 * counted each time and logged once. Thread-safe.
 */
final class Peers {
  /** So many refused addresses are logged; those beyond are only counted. */
  static final int LOGGED_MOST = 64;

  private static final Logger LOG = LoggerFactory.getLogger(Peers.class);

  private final String cell;
  private final Set<InetAddress> named;
  private final LinkMeter meter;
  private final Set<InetAddress> told = new HashSet<>();

  /**
   * Makes the list.
   *
   * @param cell the cell, for the log
   * @param addresses numeric addresses; none for this machine only
   * @param meter counts refused callers as {@code peer}
   */
  Peers(String cell, List<String> addresses, LinkMeter meter) {
    this.cell = cell;
    this.named = new HashSet<>();
    this.meter = meter;
    for (String address : addresses) {
      try {
        named.add(InetAddress.getByName(address));
      } catch (UnknownHostException e) {
        throw new IllegalArgumentException("expected an address in numbers: " + address, e);
      }
    }
  }

  /** Whether a caller may connect. */
  boolean allow(SocketAddress remote) {
    if (remote instanceof InetSocketAddress socket && socket.getAddress() != null) {
      InetAddress address = socket.getAddress();
      if (named.isEmpty() ? address.isLoopbackAddress() : named.contains(address)) {
        return true;
      }
      meter.refused("peer");
      tell(address);
      return false;
    }
    meter.refused("peer");
    return false;
  }

  private synchronized void tell(InetAddress address) {
    if (told.size() < LOGGED_MOST && told.add(address)) {
      LOG.warn(
          "{}: a call from {} was refused; {}; further calls from there are only counted",
          cell,
          address.getHostAddress(),
          named.isEmpty() ? "no peers are named, so only this machine may" : "it is no named peer");
    }
  }
}

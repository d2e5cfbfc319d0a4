package org.borewarden.agent.mqtt;

import java.util.List;
import java.util.logging.Level;
import java.util.logging.Logger;

/**
 * Keeps the client library from printing a stack trace for each lost connection: the link says in
 * words what happened.
 */
final class ClientLogs {
  /** Kept, because the logging of the JDK forgets the level of a logger that nobody holds. */
  private static final List<Logger> CLIENTS =
      List.of(
          Logger.getLogger("org.eclipse.paho.mqttv5"),
          Logger.getLogger("org.eclipse.paho.client.mqttv3"));

  private ClientLogs() {}

  static void quiet() {
    CLIENTS.forEach(client -> client.setLevel(Level.OFF));
  }
}

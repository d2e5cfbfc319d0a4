package org.borewarden.agent.config;

/**
 * Where metrics and health are served.
 *
 * @param enabled whether they are served at all
 * @param host the address to bind, a loopback one
 * @param port the TCP port, 0 for any free one
 */
public record HttpConfig(boolean enabled, String host, int port) {
  /** Port 9477 on loopback. */
  public static final HttpConfig DEFAULT = new HttpConfig(true, "127.0.0.1", 9477);
}

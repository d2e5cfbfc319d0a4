package org.borewarden.agent.config;

import java.nio.file.Path;
import java.util.Optional;

/**
 * The page for people.
 *
 * @param host the address to bind
 * @param port the TCP port, 0 for any free one
 * @param tls what others are served with; empty on loopback only
 * @param token where the word is that opens the page; empty on loopback only
 * @param hands whether an inspector may give orders there
 * @param persons who may, each with a number of his own; empty where nobody is asked
 */
public record BoardConfig(
    String host,
    int port,
    Optional<Tls> tls,
    Optional<Path> token,
    boolean hands,
    Optional<Path> persons) {
  /**
   * TLS material, PEM.
   *
   * @param certificate the server's certificate chain
   * @param key its private key, PKCS #8
   */
  public record Tls(Path certificate, Path key) {}
}

package org.borewarden.agent.config;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;

/**
 * The MQTT broker.
 *
 * @param url {@code mqtt://host:port} or {@code mqtts://host:port}
 * @param version the protocol
 * @param clientId the client id's stem; the connections add {@code -control} and {@code -record}
 * @param user the user name, if any
 * @param password where the password is; never the password itself
 * @param tls TLS material, for {@code mqtts}
 * @param keepAlive the keep-alive, 5 s to 60 s
 * @param window the publishes under way at once on the record connection, 1 to 50; the broker's
 *     receive maximum less one bounds it too
 * @param longestPayload bytes; a longer payload is set aside rather than sent
 * @param expireAfter how long the broker keeps a record for who is away (MQTT 5); empty for as long
 *     as it likes
 */
public record BrokerConfig(
    URI url,
    Version version,
    String clientId,
    Optional<String> user,
    Optional<Secret> password,
    Optional<Tls> tls,
    Duration keepAlive,
    int window,
    int longestPayload,
    Optional<Duration> expireAfter) {

  /**
   * A broker that keeps records as long as it likes.
   *
   * @param url the address
   * @param version the protocol
   * @param clientId the client id's stem
   * @param user the user name, if any
   * @param password where the password is
   * @param tls TLS material
   * @param keepAlive the keep-alive
   * @param window the publishes under way at once
   * @param longestPayload bytes
   */
  public BrokerConfig(
      URI url,
      Version version,
      String clientId,
      Optional<String> user,
      Optional<Secret> password,
      Optional<Tls> tls,
      Duration keepAlive,
      int window,
      int longestPayload) {
    this(
        url,
        version,
        clientId,
        user,
        password,
        tls,
        keepAlive,
        window,
        longestPayload,
        Optional.empty());
  }

  /** The protocol version. */
  public enum Version {
    /** MQTT 5.0. */
    V5,
    /** MQTT 3.1.1. */
    V3_1_1
  }

  /**
   * TLS material, PEM.
   *
   * @param ca the certificates that are trusted; empty for the system's
   * @param certificate the client's certificate chain
   * @param key the client's private key, PKCS #8
   */
  public record Tls(Optional<Path> ca, Optional<Path> certificate, Optional<Path> key) {}
}

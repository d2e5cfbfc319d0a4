package org.borewarden.agent.mqtt;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.agent.config.BrokerConfig;

/**
 * What a link needs to know.
 *
 * @param name {@code control} or {@code record}; names the thread and ends the client id
 * @param broker the broker
 * @param will what the broker says when the connection breaks
 * @param connectWithin the longest wait for each of: a TCP connection with its TLS handshake and
 *     the broker's answer to CONNECT; the answers to our subscriptions
 * @param firstRetry the upper bound of the first wait before a new attempt
 * @param longestRetry the upper bound of every later wait
 * @param stableAfter a connection that held so long starts the waits anew
 */
public record LinkSettings(
    String name,
    BrokerConfig broker,
    Optional<Will> will,
    Duration connectWithin,
    Duration firstRetry,
    Duration longestRetry,
    Duration stableAfter) {

  /**
   * The usual times: 10 s to connect, waits from 0.25 s to 30 s, stable after 30 s.
   *
   * @param name {@code control} or {@code record}
   * @param broker the broker
   * @param will what the broker says when the connection breaks
   * @return settings
   */
  public static LinkSettings of(String name, BrokerConfig broker, Optional<Will> will) {
    return new LinkSettings(
        name,
        broker,
        will,
        Duration.ofSeconds(10),
        Duration.ofMillis(250),
        Duration.ofSeconds(30),
        Duration.ofSeconds(30));
  }

  /**
   * The longest time without any acknowledgement while something is under way, after which the
   * broker counts as frozen.
   *
   * @return three keep-alives, at least 15 s
   */
  Duration ackWithin() {
    Duration three = broker.keepAlive().multipliedBy(3);
    Duration least = Duration.ofSeconds(15);
    return three.compareTo(least) < 0 ? least : three;
  }

  String clientId() {
    return broker.clientId() + "-" + name;
  }

  String host() {
    String host = Optional.ofNullable(broker.url().getHost()).orElse("");
    return host.startsWith("[") ? host.substring(1, host.length() - 1) : host;
  }

  boolean encrypted() {
    return "mqtts".equals(broker.url().getScheme());
  }

  int port() {
    int port = broker.url().getPort();
    if (port >= 0) {
      return port;
    }
    return encrypted() ? 8883 : 1883;
  }
}

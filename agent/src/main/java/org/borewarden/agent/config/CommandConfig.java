package org.borewarden.agent.config;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;

/**
 * How commands are authenticated.
 *
 * @param trust whom the agent believes
 * @param keys for {@link Trust#SIGNED}: the public or shared keys, by key id
 * @param socket the local command socket; empty for none
 * @param groups for the local socket: which role a group of the operating system has
 * @param twoPersons how long a second person may take to confirm what quality asks for without
 *     evidence; empty where quality may not ask for it
 */
public record CommandConfig(
    Trust trust,
    Map<String, Path> keys,
    Optional<Path> socket,
    Map<String, String> groups,
    Optional<Duration> twoPersons) {
  /** Copies the maps. */
  public CommandConfig {
    keys = Map.copyOf(keys);
    groups = Map.copyOf(groups);
  }

  /** Commands over MQTT are refused; none come over a socket. */
  public static final CommandConfig DEFAULT =
      new CommandConfig(Trust.NONE, Map.of(), Optional.empty(), Map.of(), Optional.empty());

  /** Whom the agent believes over MQTT. */
  public enum Trust {
    /** Nobody: the agent subscribes to no command. */
    NONE,
    /** The broker's access list, which lets each role publish on its own command topics only. */
    BROKER,
    /** Whoever signs with a known key. */
    SIGNED
  }
}

package org.borewarden.agent.mqtt;

import java.util.Optional;
import java.util.OptionalLong;

/**
 * How a link stands.
 *
 * @param link its name, {@code control} or {@code record}
 * @param connected whether messages can be published
 * @param detail in words; for a link that does not stand, why
 * @param hint what a person might look at, where the losses make a pattern
 * @param connection counts the connections since the start; what was published on an older one is
 *     answered or lost
 * @param window the publishes that may be under way at once on this connection
 * @param longestPacket the longest packet that the broker says it takes, where it says so
 * @param attempt the attempts to connect that failed in a row
 */
public record LinkState(
    String link,
    boolean connected,
    String detail,
    Optional<String> hint,
    long connection,
    int window,
    OptionalLong longestPacket,
    int attempt) {}

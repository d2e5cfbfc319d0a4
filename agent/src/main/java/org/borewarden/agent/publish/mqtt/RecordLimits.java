package org.borewarden.agent.publish.mqtt;

import java.time.Duration;
import java.util.Optional;

/**
 * What bounds a record on its way.
 *
 * @param longestPayload bytes; a longer payload is set aside
 * @param expireAfter how long the broker keeps a record for who is away (MQTT 5); empty for as long
 *     as it likes
 */
public record RecordLimits(int longestPayload, Optional<Duration> expireAfter) {}

package org.borewarden.agent.mqtt;

import java.time.Duration;

/**
 * What the broker says for us when the connection breaks without a farewell.
 *
 * @param topic the whole topic
 * @param payload JSON
 * @param retained whether later subscribers get it too
 * @param delay how long the broker waits for us to come back before it says so; MQTT 5 only
 */
public record Will(String topic, String payload, boolean retained, Duration delay) {}

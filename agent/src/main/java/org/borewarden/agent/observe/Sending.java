package org.borewarden.agent.observe;

import java.net.URI;
import java.time.Duration;

/**
 * Where metrics are sent over the OpenTelemetry protocol.
 *
 * @param url the receiver
 * @param every between two sendings
 * @param agent the agent's id, which becomes {@code service.instance.id}
 * @param version the agent's version
 */
public record Sending(URI url, Duration every, String agent, String version) {}

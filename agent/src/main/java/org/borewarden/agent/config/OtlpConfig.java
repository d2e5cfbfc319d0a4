package org.borewarden.agent.config;

import java.net.URI;
import java.time.Duration;

/**
 * Where metrics are sent over the OpenTelemetry protocol.
 *
 * @param url the receiver, such as {@code http://127.0.0.1:4318/v1/metrics}
 * @param every between two sendings
 */
public record OtlpConfig(URI url, Duration every) {}

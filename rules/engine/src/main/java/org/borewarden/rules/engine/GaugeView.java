package org.borewarden.rules.engine;

import java.time.Instant;
import java.util.Optional;

/**
 * What is known of a gauge.
 *
 * @param gauge its id
 * @param connected whether its port is open
 * @param detail the port's state in words
 * @param lastReading when it last gave a value
 * @param readings how many values it gave since the journal began
 * @param rejected how many of its frames were rejected since the journal began
 */
public record GaugeView(
    String gauge,
    boolean connected,
    String detail,
    Optional<Instant> lastReading,
    long readings,
    long rejected) {}

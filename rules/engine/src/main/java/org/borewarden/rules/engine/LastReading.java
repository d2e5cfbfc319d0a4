package org.borewarden.rules.engine;

import java.time.Instant;
import org.borewarden.rules.reading.Reading;

/**
 * The last reading of a gauge whose key may bounce.
 *
 * @param reading it
 * @param at when it came
 */
record LastReading(Reading reading, Instant at) {}

package org.borewarden.rules.engine;

import java.time.Instant;

/**
 * An event with its place in the journal.
 *
 * @param seq its gap-free number in the journal, from 1
 * @param at the wall time at which the loop took it, whole milliseconds; order comes from seq,
 *     never from this
 * @param event what happened
 */
public record Stamped(long seq, Instant at, Event event) {}

package org.borewarden.agent.journal;

import java.time.Instant;
import java.util.Optional;

/**
 * One record of the journal: an event, or a decision that followed from one.
 *
 * @param seq its number, gap-free from 1
 * @param cause the seq of the event that it follows from; its own seq for an event
 * @param at the wall time of the event, whole milliseconds
 * @param kind what it is, such as {@code reading-taken} or {@code bore-judged}
 * @param topic the topic below the root on which it is published as a record; empty for a record
 *     that stays in the journal
 * @param prev the seq of the record before it on the same topic; 0 for the first
 * @param rules the rules revision in force; empty before any
 * @param body a JSON object without the envelope
 */
public record Entry(
    long seq,
    long cause,
    Instant at,
    String kind,
    Optional<String> topic,
    long prev,
    String rules,
    String body) {}

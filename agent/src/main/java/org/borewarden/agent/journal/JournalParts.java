package org.borewarden.agent.journal;

import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;

/**
 * What store, scribe and outbox have in common.
 *
 * @param folder where the journal lies
 * @param connector opens it
 * @param readers who read it beside the scribe
 * @param work what waits for the scribe
 * @param books the outbox in numbers
 * @param state the scribe in numbers
 * @param pace the scribe's limits
 * @param keep what is kept
 * @param wall time for notes
 * @param clock time for measuring
 */
record JournalParts(
    JournalFolder folder,
    Connector connector,
    Readers readers,
    PendingWork work,
    OutboxBooks books,
    ScribeState state,
    Pace pace,
    Keep keep,
    WallClock wall,
    MonotonicClock clock) {}

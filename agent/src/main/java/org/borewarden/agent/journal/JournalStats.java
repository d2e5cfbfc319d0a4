package org.borewarden.agent.journal;

import java.time.Instant;
import java.util.Optional;

/**
 * Counts for metrics, at one moment.
 *
 * @param writable whether the scribe can write
 * @param durableSeq the highest synced seq
 * @param queuedEntries entries that wait for the disk
 * @param outboxWaiting rows that the broker has not acknowledged
 * @param outboxOldest the time of the oldest of them
 * @param setAside rows that the broker refused, kept with the reason
 * @param commits transactions committed since the start
 * @param commitNanos the time spent in them, nanoseconds
 * @param bytes the size of the journal, as last seen by the scribe; 0 before
 */
public record JournalStats(
    boolean writable,
    long durableSeq,
    int queuedEntries,
    long outboxWaiting,
    Optional<Instant> outboxOldest,
    long setAside,
    long commits,
    long commitNanos,
    long bytes) {}

package org.borewarden.agent.config;

import java.time.Duration;

/**
 * Limits of the journal.
 *
 * @param queueEntries the entries that may wait for the disk before the loop takes no more readings
 * @param commitEvery the longest time that an entry waits for others to be committed with
 */
public record JournalConfig(int queueEntries, Duration commitEvery) {
  /** 20 000 entries; no waiting: what is there is committed together. */
  public static final JournalConfig DEFAULT = new JournalConfig(20_000, Duration.ZERO);
}

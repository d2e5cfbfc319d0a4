package org.borewarden.agent.config;

import java.time.Duration;

/**
 * Limits of the journal.
 *
 * @param queueEntries the entries that may wait for the disk before the loop takes no more readings
 * @param commitEvery the longest time that an entry waits for others to be committed with
 * @param keepDays the days after which an entry may be retired
 * @param keepMebibytes the size of the journal, MiB, beyond which its first entries are retired
 * @param outboxFull what happens when entries that the broker has not acknowledged keep the journal
 *     from staying within its size
 */
public record JournalConfig(
    int queueEntries,
    Duration commitEvery,
    int keepDays,
    int keepMebibytes,
    OutboxFull outboxFull) {
  /**
   * 20 000 entries; no waiting: what is there is committed together; 90 days, 4 GiB; a full outbox
   * withholds the permit.
   */
  public static final JournalConfig DEFAULT =
      new JournalConfig(20_000, Duration.ZERO, 90, 4_096, OutboxFull.HOLD);

  /** What a full outbox does. */
  public enum OutboxFull {
    /** Nothing is left out; the permit is withheld until the broker has taken enough. */
    HOLD,
    /** The first readings leave the outbox unsent, counted; judgements never do. */
    DROP_READINGS
  }
}

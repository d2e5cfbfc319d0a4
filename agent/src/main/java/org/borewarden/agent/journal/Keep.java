package org.borewarden.agent.journal;

import java.time.Duration;
import org.borewarden.agent.config.JournalConfig;

/**
 * What of a journal is kept.
 *
 * @param age entries older than this may be retired
 * @param bytes the size beyond which the first entries are retired
 * @param dropReadings whether readings may leave a full outbox unsent
 * @param lookEvery how often it is looked at
 * @param behind entries that stay before the oldest one that a snapshot or a latched hold needs,
 *     for what a list of parts to contain may name
 */
record Keep(Duration age, long bytes, boolean dropReadings, Duration lookEvery, long behind) {
  static Keep of(JournalConfig config) {
    return new Keep(
        Duration.ofDays(config.keepDays()),
        (long) config.keepMebibytes() << 20,
        config.outboxFull() == JournalConfig.OutboxFull.DROP_READINGS,
        Duration.ofMinutes(1),
        5_000);
  }
}

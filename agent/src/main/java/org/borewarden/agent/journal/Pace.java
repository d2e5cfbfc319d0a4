package org.borewarden.agent.journal;

import java.time.Duration;

/**
 * The scribe's limits.
 *
 * @param batchEntries a transaction takes no further group once it has so many entries
 * @param commitEvery how long the first entry of a batch waits for others
 * @param acknowledgeWithin how long acknowledgements wait for entries to be written with
 * @param idleAfter a quiet time after which the write-ahead log is emptied into the file
 * @param backOffMin the first wait before the file is opened again after a failure; it doubles
 * @param backOffMax the longest such wait
 * @param stopWithin how long a stop waits for the disk
 * @param freeBytes after the disk was full, a recovery is not claimed with less free space, since
 *     the file itself gives some back each time it is opened
 */
record Pace(
    int batchEntries,
    Duration commitEvery,
    Duration acknowledgeWithin,
    Duration idleAfter,
    Duration backOffMin,
    Duration backOffMax,
    Duration stopWithin,
    long freeBytes) {

  static Pace every(Duration commitEvery) {
    return new Pace(
        500,
        commitEvery,
        Duration.ofMillis(200),
        Duration.ofSeconds(10),
        Duration.ofMillis(200),
        Duration.ofSeconds(2),
        Duration.ofSeconds(5),
        32L << 20);
  }
}

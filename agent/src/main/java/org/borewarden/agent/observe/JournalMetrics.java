package org.borewarden.agent.observe;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.LongSupplier;

/** Shows how the journal and its outbox do. Any thread. */
public final class JournalMetrics {
  private static final List<Duration> COMMITS =
      List.of(
          Duration.ofMillis(5),
          Duration.ofMillis(20),
          Duration.ofMillis(100),
          Duration.ofMillis(500),
          Duration.ofSeconds(2));

  private final Meters meters;

  JournalMetrics(Meters meters) {
    this.meters = meters;
  }

  /**
   * Whether the journal can be written.
   *
   * @param writable false from its failure to its recovery
   */
  public void writable(boolean writable) {
    meters.level(Metric.JOURNAL_WRITABLE).set(writable);
  }

  /**
   * A group was committed and synced.
   *
   * @param took the time that it took
   */
  public void commit(Duration took) {
    meters.timer(Metric.JOURNAL_COMMIT, COMMITS).record(took);
  }

  /**
   * Names where the free space comes from. Called once.
   *
   * @param bytes asked on the scraping thread
   */
  public void dataFree(LongSupplier bytes) {
    meters.computed(Metric.DATA_FREE, () -> (double) bytes.getAsLong());
  }

  /**
   * What the broker has not acknowledged.
   *
   * @param messages how many records wait
   * @param oldest the time of the oldest
   */
  public void outbox(long messages, Optional<Instant> oldest) {
    meters.level(Metric.OUTBOX).set((double) messages);
    Level level = meters.level(Metric.OUTBOX_OLDEST);
    oldest.ifPresentOrElse(level::set, level::clear);
  }

  /**
   * How large the journal is.
   *
   * @param bytes without free pages in its file
   */
  public void size(long bytes) {
    meters.level(Metric.JOURNAL_SIZE).set((double) bytes);
  }

  /**
   * Entries were retired.
   *
   * @param count how many
   */
  public void retired(long count) {
    meters.counter(Metric.JOURNAL_RETIRED).increment((double) count);
  }

  /**
   * Readings left a full outbox unsent.
   *
   * @param count how many
   */
  public void leftUnsent(long count) {
    meters.counter(Metric.OUTBOX_UNSENT).increment((double) count);
  }

  /**
   * A record was set aside.
   *
   * @param why one of our keys, such as {@code too-large} or {@code no-right}
   */
  public void deadLetter(String why) {
    meters.counter(Metric.DEAD_LETTERS, meters.bounded(Metric.DEAD_LETTERS, why)).increment();
  }
}

package org.borewarden.agent.source;

import java.time.Duration;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.borewarden.agent.clock.MonotonicClock;

/**
 * Reads one opened link until it is gone, and watches its silences. Owned by the source's thread.
 *
 * <p>A silence counts only where the line was seen quiet, by reads that returned nothing; the time
 * that this thread itself spent waiting for room in the inbox is none.
 */
final class LinkReader {
  /** No gauge pauses for so long within a frame; a radio or network bridge hardly ever. */
  static final Duration LONGEST_PAUSE_IN_FRAME = Duration.ofSeconds(2);

  /** A read that returns with nothing before this has waited for nothing: no evidence of quiet. */
  private static final Duration SHORTEST_QUIET_READ = Duration.ofMillis(ByteLink.TICK_MILLIS / 2);

  /** So many of them in a row, and the device is taken to be gone, whatever the driver says. */
  private static final int MOST_HASTY_READS = 50;

  /** More than the longest frame, so that a message that is too long shows itself. */
  private static final int BUFFER_BYTES = 8192;

  private final ByteLink link;
  private final FrameReader frames;
  private final SourceReport report;
  private final Optional<Duration> quietFor;
  private final MonotonicClock clock;
  private final byte[] buffer = new byte[BUFFER_BYTES];
  private long silentSinceNanos;
  private int hastyReads;

  LinkReader(
      ByteLink link,
      FrameReader frames,
      SourceReport report,
      Optional<Duration> quietFor,
      MonotonicClock clock) {
    this.link = link;
    this.frames = frames;
    this.report = report;
    this.quietFor = quietFor;
    this.clock = clock;
  }

  /** Returns when the device is gone or a stop was asked for. */
  void readUntilGone(BooleanSupplier stopping) throws InterruptedException {
    frames.opened();
    if (link.beginsWhole()) {
      frames.quiet();
    }
    silentSinceNanos = clock.nanos();
    hastyReads = 0;
    int length = 0;
    while (length >= 0 && hastyReads < MOST_HASTY_READS && !stopping.getAsBoolean()) {
      long from = clock.nanos();
      length = link.read(buffer);
      if (length > 0) {
        hastyReads = 0;
        sayConnected();
        frames.take(buffer, length, link.bookmark());
        silentSinceNanos = clock.nanos();
      } else if (length == 0) {
        nothingCame(from, clock.nanos());
      }
    }
    if (!stopping.getAsBoolean()) {
      frames.lost();
    }
  }

  void sayConnected() throws InterruptedException {
    report.state(true, "connected", "connected to " + link.name());
  }

  private void nothingCame(long fromNanos, long toNanos) throws InterruptedException {
    if (toNanos - fromNanos < SHORTEST_QUIET_READ.toNanos()) {
      hastyReads++;
    } else {
      hastyReads = 0;
      frames.quiet();
      silent(Duration.ofNanos(toNanos - silentSinceNanos));
    }
  }

  private void silent(Duration silence) throws InterruptedException {
    if (silence.compareTo(LONGEST_PAUSE_IN_FRAME) >= 0) {
      frames.gap();
    }
    if (quietFor.isPresent() && silence.compareTo(quietFor.get()) >= 0) {
      report.state(
          true, "quiet", "quiet: nothing came for " + quietFor.get().toMillis() / 1000.0 + " s");
    }
  }
}

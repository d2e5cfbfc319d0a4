package org.borewarden.agent.board;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Looks at the agent four times a second and follows the journal, on a thread of its own: the loop
 * does nothing for it, and what it shows of bores is synced.
 */
public final class Board implements AutoCloseable {
  /** How often it looks, and the most that a viewer is told. */
  public static final Duration EVERY = Duration.ofMillis(250);

  /** So many entries before the last one are read at the start, for the runs. */
  static final int SEED_ENTRIES = 40_000;

  private static final Logger LOG = LoggerFactory.getLogger(Board.class);
  private static final int PAGE = 2_000;
  private static final Duration END = Duration.ofSeconds(5);

  private final Glance glance;
  private final JournalView journal;
  private final StateText text;
  private final WallClock wall;
  private final MonotonicClock monotonic;
  private final Runs runs;
  private final Feed feed = new Feed();
  private final Thread thread = new Thread(this::run, "board");
  private final CountDownLatch stop = new CountDownLatch(1);
  private long next;
  private boolean failing;
  private long readNanos;

  /**
   * A board that shows nothing yet.
   *
   * @param agent the agent's id
   * @param names whether people may be named: only to those who signed in
   * @param glance how the agent stands
   * @param journal a view of its own, closed with it
   * @param wall for what depends on the time
   * @param monotonic for how old a thing is
   */
  public Board(
      String agent,
      boolean names,
      Glance glance,
      JournalView journal,
      WallClock wall,
      MonotonicClock monotonic) {
    this.glance = glance;
    this.journal = journal;
    this.text = new StateText(agent, names);
    this.runs = new Runs(names);
    this.wall = wall;
    this.monotonic = monotonic;
    this.readNanos = monotonic.nanos();
  }

  /** Begins to look. */
  public void start() {
    look();
    thread.start();
  }

  Feed feed() {
    return feed;
  }

  Runs runs() {
    return runs;
  }

  private void run() {
    try {
      do {
        follow();
        look();
      } while (!stop.await(EVERY.toMillis(), TimeUnit.MILLISECONDS));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      feed.close();
      journal.close();
    }
  }

  /** Shows how the agent stands now. */
  void look() {
    Glance.Seen seen = glance.seen();
    Instant at = wall.now();
    runs.know(seen.state());
    long behind = TimeUnit.NANOSECONDS.toMillis(monotonic.nanos() - readNanos);
    String beat =
        "\"at\":"
            + at.toEpochMilli()
            + ",\"turned_ms\":"
            + glance.sinceTurn().toMillis()
            + ",\"read_ms\":"
            + behind;
    feed.show(beat, text.of(seen.state(), minute(at), seen.recorded(), glance.refusedLines()));
  }

  /** A payload says when it was so; to the minute, or each look would be a change. */
  private static Instant minute(Instant at) {
    return at.truncatedTo(java.time.temporal.ChronoUnit.MINUTES);
  }

  /** Reads what came since the last time; what fails is tried again the next time. */
  void follow() {
    try {
      if (next == 0) {
        next = Math.max(journal.firstSeq(), journal.lastSeq() - SEED_ENTRIES);
      }
      List<Entry> page = journal.read(next, PAGE);
      while (!page.isEmpty()) {
        page.forEach(runs::take);
        next = page.get(page.size() - 1).seq() + 1;
        page = journal.read(next, PAGE);
      }
      readNanos = monotonic.nanos();
      failing = false;
    } catch (JournalException e) {
      if (!failing) {
        LOG.warn("the board cannot read the journal: {}; tried again", e.toString());
        failing = true;
      }
    }
  }

  @Override
  public void close() {
    stop.countDown();
    feed.close();
    try {
      thread.join(END.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}

package org.borewarden.agent.journal;

import java.io.IOException;
import java.sql.SQLException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.sqlite.SQLiteErrorCode;

/**
 * The only writer of the journal: takes all that waits, writes it in one transaction, and reports
 * it durable when the sync has succeeded.
 *
 * <p>After any failure the connection is thrown away. Whether the failed transaction is stored is
 * then not known. So the file is opened again; its log is moved into it with a sync of its own,
 * because what can be read after a failed sync need not be on the disk; and what is stored is
 * compared with what was to be. What is the same is not written twice, what is missing is written,
 * and anything else is a fork, which is never overwritten.
 *
 * <p>Runs on the thread "scribe" and is touched by no other.
 */
final class Scribe implements Runnable {
  private static final Logger LOG = LoggerFactory.getLogger(Scribe.class);

  /** A log of this size means that readers keep it in use. */
  private static final long LOG_LIMIT_BYTES = 64L << 20;

  private static final int COMMITS_BETWEEN_LOG_CHECKS = 100;

  /** How long a reader may delay the emptying of the log when it is not needed for honesty. */
  private static final Duration READER_PATIENCE = Duration.ofMillis(100);

  /** The same after a failure, when nothing can be written before it has succeeded. */
  private static final Duration READER_PATIENCE_AFTER_FAILURE = Duration.ofSeconds(1);

  private final JournalFolder folder;
  private final Connector connector;
  private final Readers readers;
  private final PendingWork work;
  private final OutboxBooks books;
  private final ScribeState state;
  private final Pace pace;
  private final WallClock wall;
  private final MonotonicClock clock;
  private final JournalListener listener;
  private final Chain chain = new Chain();
  private final Retention retention;

  private Optional<Writer> writer = Optional.empty();
  private long durableSeq;
  private byte[] durableHash;
  private boolean logUsed = true;

  /** A failure was told and no recovery yet. */
  private boolean toldFailed;

  /** The failure was a full disk. */
  private boolean wasFull;

  /** The folder bears a note of damage. */
  private boolean marked;

  Scribe(JournalParts parts, OpenCheck.Sound found, JournalListener listener) {
    this.folder = parts.folder();
    this.connector = parts.connector();
    this.readers = parts.readers();
    this.work = parts.work();
    this.books = parts.books();
    this.state = parts.state();
    this.pace = parts.pace();
    this.wall = parts.wall();
    this.clock = parts.clock();
    this.listener = listener;
    this.retention = new Retention(parts.keep(), wall, clock, listener);
    this.durableSeq = found.lastSeq();
    this.durableHash = HexFormat.of().parseHex(found.lastHash());
  }

  @Override
  public void run() {
    try {
      begin();
      writeUntilStopped();
      end();
    } catch (ForkedException e) {
      beyondMending(String.valueOf(e.getMessage()));
      markDamaged(String.valueOf(e.getMessage()));
    } catch (InterruptedException e) {
      beyondMending("the scribe was interrupted");
    } catch (RuntimeException e) {
      LOG.error("the scribe has stopped by a mistake of ours", e);
      beyondMending("the scribe has stopped by a mistake of ours: " + e);
    }
  }

  private void begin() throws InterruptedException, ForkedException {
    try {
      Writer first = Writer.open(connector);
      writer = Optional.of(first);
      agreeWithFile(first, Batch.EMPTY);
      first.noteOpening(wall.now());
      state.writable(true);
    } catch (SQLException e) {
      recover(Batch.EMPTY, e);
    }
  }

  private void writeUntilStopped() throws InterruptedException, ForkedException {
    while (true) {
      Batch batch = work.take(patience());
      if (work.abandoned() || (batch.isEmpty() && work.stopping())) {
        return;
      }
      if (!batch.isEmpty()) {
        write(batch);
      } else if (!retention.wantsMore()) {
        emptyLog();
      }
      if (writer.isPresent()) {
        tellRecovered();
        if (!toldFailed) {
          retire(writer.get());
        }
      }
    }
  }

  /** How long to wait for work before something else is due. */
  private Duration patience() {
    if (toldFailed) {
      return pace.backOffMax();
    }
    return retention.wantsMore() ? Duration.ZERO : pace.idleAfter();
  }

  private void retire(Writer from) throws InterruptedException, ForkedException {
    try {
      if (retention.turn(from.connection())) {
        books.recount(from.connection());
        from.connection().commit();
      }
      retention.bytes().ifPresent(state::kept);
      logUsed |= retention.wantsMore();
    } catch (SQLException e) {
      recover(Batch.EMPTY, e);
    }
  }

  private void write(Batch batch) throws InterruptedException, ForkedException {
    Batch left = batch;
    try {
      commit(writer.orElseThrow(), batch);
      left = Batch.EMPTY;
      if (state.commits() % COMMITS_BETWEEN_LOG_CHECKS == 0
          && folder.logBytes() > LOG_LIMIT_BYTES) {
        emptyLog();
      }
    } catch (SQLException e) {
      recover(left, e);
    }
  }

  private void commit(Writer to, Batch batch) throws SQLException {
    List<byte[]> links = links(batch.entries());
    long begun = clock.nanos();
    Writer.Written written = to.write(batch, links, wall.now());
    long took = clock.nanos() - begun;
    state.committed(took);
    listener.committed(took);
    logUsed = true;
    books.settled(batch, written);
    durable(links);
  }

  private List<byte[]> links(List<Entry> entries) {
    List<byte[]> links = new ArrayList<>(entries.size());
    byte[] before = durableHash;
    for (Entry entry : entries) {
      before = chain.next(before, entry);
      links.add(before);
    }
    return links;
  }

  /** The next entries are synced; these are their hashes. */
  private void durable(List<byte[]> links) {
    if (links.isEmpty()) {
      return;
    }
    durableHash = links.get(links.size() - 1);
    durableSeq += links.size();
    state.durable(durableSeq);
    work.synced(links.size());
    listener.durable(durableSeq);
  }

  private void recover(Batch batch, SQLException first)
      throws InterruptedException, ForkedException {
    Batch left = batch;
    Duration wait = pace.backOffMin();
    failed(first);
    while (true) {
      work.pause(wait);
      if (work.abandoned()) {
        return;
      }
      wait = shorter(wait.multipliedBy(2), pace.backOffMax());
      try {
        Writer fresh = Writer.open(connector);
        writer = Optional.of(fresh);
        left = agreeWithFile(fresh, left);
        commit(fresh, left);
        left = Batch.EMPTY;
        fresh.noteOpening(wall.now());
        break;
      } catch (SQLException again) {
        failed(again);
      }
    }
    tellRecovered();
  }

  private void failed(SQLException e) {
    discardWriter(e);
    wasFull |= e.getErrorCode() == SQLiteErrorCode.SQLITE_FULL.code;
    if (isReadOnly(e)) {
      readers.letGo();
    }
    if (!marked && OpenCheck.isDamage(e)) {
      markDamaged(String.valueOf(e.getMessage()));
    }
    if (toldFailed) {
      LOG.debug("the journal still cannot be written: {}", e.getMessage());
      return;
    }
    toldFailed = true;
    state.writable(false);
    LOG.warn("the journal cannot be written: {}", e.getMessage());
    listener.failed("the journal cannot be written: " + e.getMessage());
  }

  /** In any of its extended forms: the lowest byte is the code they share. */
  private static boolean isReadOnly(SQLException e) {
    return (e.getErrorCode() & 0xff) == SQLiteErrorCode.SQLITE_READONLY.code;
  }

  /** What waited is written; on a disk that was full that is not yet a recovery. */
  private void tellRecovered() {
    if (!toldFailed || (wasFull && folder.freeBytes() < pace.freeBytes())) {
      return;
    }
    if (marked) {
      unmarkDamaged();
    }
    toldFailed = false;
    wasFull = false;
    state.writable(true);
    LOG.info("the journal is written again, nothing lost");
    listener.recovered();
  }

  /**
   * Finds out what of a batch is stored, and makes sure that it is synced.
   *
   * @return what is still to be written
   */
  private Batch agreeWithFile(Writer fresh, Batch batch) throws SQLException, ForkedException {
    if (!fresh.emptyLog(READER_PATIENCE_AFTER_FAILURE)) {
      throw new SQLException("a reader kept the write-ahead log in use");
    }
    List<byte[]> links = links(batch.entries());
    int stored = Reconciliation.stored(fresh.connection(), durableSeq, durableHash, links);
    books.recount(fresh.connection());
    fresh.connection().commit();
    durable(links.subList(0, stored));
    return batch.withoutFirst(stored);
  }

  private void emptyLog() throws InterruptedException, ForkedException {
    if (!logUsed) {
      return;
    }
    try {
      logUsed = !writer.orElseThrow().emptyLog(READER_PATIENCE);
    } catch (SQLException e) {
      recover(Batch.EMPTY, e);
    }
  }

  private void end() {
    if (writer.isEmpty()) {
      return;
    }
    Writer last = writer.get();
    writer = Optional.empty();
    try (last) {
      if (!work.abandoned()) {
        last.markCleanStop(durableSeq);
      }
    } catch (SQLException e) {
      LOG.warn("the journal was not closed in order: {}", e.getMessage());
    }
    state.writable(false);
  }

  private void beyondMending(String why) {
    state.writable(false);
    LOG.error("the journal is written no more: {}", why);
    discardWriter(new SQLException(why));
    listener.failed(why);
  }

  private void discardWriter(SQLException first) {
    writer.ifPresent(broken -> Closing.after(first, broken.connection()));
    writer = Optional.empty();
  }

  private void markDamaged(String why) {
    try {
      folder.markDamaged(why);
      marked = true;
    } catch (IOException e) {
      LOG.error("cannot leave a note that the journal is damaged: {}", e.toString());
    }
  }

  private void unmarkDamaged() {
    try {
      folder.unmarkDamaged();
      marked = false;
    } catch (IOException e) {
      LOG.error("cannot take back the note that the journal is damaged: {}", e.toString());
    }
  }

  private static Duration shorter(Duration a, Duration b) {
    return a.compareTo(b) < 0 ? a : b;
  }
}

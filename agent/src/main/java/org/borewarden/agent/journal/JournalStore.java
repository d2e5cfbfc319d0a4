package org.borewarden.agent.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.config.JournalConfig;

/**
 * The journal of one data folder: opened once by one process, appended to by the loop, written by
 * the scribe, read by as many readers as are asked for.
 *
 * <p>{@link #append} and {@link #putSnapshot} belong to the loop thread; {@link #putText}, {@link
 * #hasRoom}, {@link #hasReserve} and {@link #stats} may be called by any; {@link #open}, {@link
 * #start} and {@link #close} belong to the thread that starts and stops the agent.
 *
 * <p>The native library of SQLite is unpacked into the folder named by the system property {@code
 * org.sqlite.tmpdir}, which whoever starts the process must set to a private folder (such as {@code
 * native} in the data folder) before the first use: the common temporary folder may forbid running
 * code, or let others plant it.
 */
public final class JournalStore implements Journal, Shelf, AutoCloseable {
  private final JournalParts parts;
  private final FolderLock lock;
  private final OpenCheck.Sound found;
  private final JournalOpened opened;
  private final List<OutboxReader> outboxes = new ArrayList<>();

  private long appendedSeq;
  private Optional<Thread> thread = Optional.empty();

  private JournalStore(
      JournalParts parts, FolderLock lock, OpenCheck.Sound found, JournalOpened opened) {
    this.parts = parts;
    this.lock = lock;
    this.found = found;
    this.opened = opened;
    this.appendedSeq = found.lastSeq();
  }

  /**
   * Opens the journal of a data folder, or begins one. A damaged journal is put away whole beside
   * it and a new one with a new id is begun. Nothing can be appended before {@link #start}.
   *
   * @param dataFolder the agent's data folder; made, for its owner only, if it is not there
   * @param config limits
   * @param appVersion the agent's version, noted in a new journal
   * @param wall time for notes in the journal
   * @param clock time for measuring how long a commit takes
   * @return the open journal; the caller closes it
   * @throws JournalException when another agent has the folder, the journal is from a later
   *     version, or the disk does not let it be opened; then nothing was changed
   */
  public static JournalStore open(
      Path dataFolder,
      JournalConfig config,
      String appVersion,
      WallClock wall,
      MonotonicClock clock)
      throws JournalException {
    JournalFolder folder = new JournalFolder(dataFolder);
    PendingWork work = new PendingWork(config.queueEntries(), Pace.every(config.commitEvery()));
    return open(dataFolder, folder.connector(), work, Keep.of(config), appVersion, wall, clock);
  }

  static JournalStore open(
      Path dataFolder,
      Connector connector,
      PendingWork work,
      String appVersion,
      WallClock wall,
      MonotonicClock clock)
      throws JournalException {
    Keep usual = Keep.of(JournalConfig.DEFAULT);
    return open(dataFolder, connector, work, usual, appVersion, wall, clock);
  }

  static JournalStore open(
      Path dataFolder,
      Connector connector,
      PendingWork work,
      Keep keep,
      String appVersion,
      WallClock wall,
      MonotonicClock clock)
      throws JournalException {
    JournalFolder folder = new JournalFolder(dataFolder);
    FolderLock lock = lock(folder, dataFolder);
    try {
      Opening opening = Opening.of(folder, connector, wall.now(), appVersion);
      OutboxBooks books = new OutboxBooks();
      ScribeState state = new ScribeState(opening.found().lastSeq());
      try (Connection connection = connector.reader()) {
        books.recount(connection);
        state.kept(Space.bytes(connection));
      }
      JournalParts parts =
          new JournalParts(
              folder,
              connector,
              new Readers(connector),
              work,
              books,
              state,
              work.pace(),
              keep,
              wall,
              clock);
      return new JournalStore(parts, lock, opening.found(), opening.opened());
    } catch (IOException | SQLException e) {
      lock.release();
      throw new JournalException(
          "cannot open the journal in " + dataFolder + ": " + e.getMessage(), e);
    }
  }

  /**
   * What was found when the journal was opened.
   *
   * @return id, last seq, and whether something is to be told to a person
   */
  public JournalOpened opened() {
    return opened;
  }

  /**
   * Starts the scribe.
   *
   * @param listener hears what is durable, on the scribe's thread
   * @throws IllegalStateException when it was started before
   */
  public void start(JournalListener listener) {
    if (thread.isPresent()) {
      throw new IllegalStateException("the scribe was started before");
    }
    Thread scribe = new Thread(new Scribe(parts, found, listener), "scribe");
    // A scribe that hangs in the disk must not keep the process from ending.
    scribe.setDaemon(true);
    thread = Optional.of(scribe);
    scribe.start();
  }

  @Override
  public void append(List<Entry> entries) {
    if (entries.isEmpty()) {
      throw new IllegalArgumentException("expected at least one entry");
    }
    if (!hasReserve()) {
      throw new IllegalStateException("the journal was given more while it had no reserve left");
    }
    long seq = appendedSeq;
    for (Entry entry : entries) {
      seq++;
      if (entry.seq() != seq) {
        throw new IllegalArgumentException("expected entry " + seq + ", found " + entry.seq());
      }
    }
    appendedSeq = seq;
    parts.work().add(new Request.Group(List.copyOf(entries)), entries.size());
  }

  @Override
  public boolean hasRoom() {
    return parts.work().hasRoom();
  }

  @Override
  public boolean hasReserve() {
    return parts.work().hasReserve();
  }

  @Override
  public void putText(String name, String body) {
    parts.work().add(new Request.KeepText(name, body), 0);
  }

  @Override
  public void putSnapshot(long seq, long needed, String layout, Supplier<String> body) {
    if (seq > appendedSeq) {
      throw new IllegalArgumentException(
          "expected a snapshot after an appended entry, found " + seq + " after " + appendedSeq);
    }
    parts.work().add(new Request.KeepSnapshot(seq, needed, layout, body), 0);
  }

  /**
   * Puts entries into the outbox again that are kept, have a topic and were not refused. Any
   * thread.
   *
   * @param from the first
   * @param to the last
   */
  public void sendAgain(long from, long to) {
    parts.work().add(new Request.SendAgain(from, to), 0);
  }

  /** Notes that a person has adopted the journal, so that no later start asks. Any thread. */
  public void adopted() {
    parts.work().add(new Request.Adopted(), 0);
  }

  /**
   * The outbox, for one publisher thread. Call it once for each publisher.
   *
   * @return the outbox; it is closed with the store
   */
  public Outbox outbox() {
    OutboxReader outbox = new OutboxReader(parts.readers().add(), parts.books(), parts.work());
    outboxes.add(outbox);
    return outbox;
  }

  /**
   * A reader of its own for one thread.
   *
   * @return the reader; the caller closes it
   * @throws JournalException when the journal cannot be read
   */
  public JournalReader reader() throws JournalException {
    ReadConnection connection = parts.readers().add();
    try {
      return JournalReader.open(connection);
    } catch (JournalException unreadable) {
      connection.close();
      throw unreadable;
    }
  }

  /**
   * Counts for metrics.
   *
   * @return the counts at this moment
   */
  public JournalStats stats() {
    ScribeState state = parts.state();
    OutboxBooks books = parts.books();
    return new JournalStats(
        state.writable(),
        state.durableSeq(),
        parts.work().entries(),
        books.waiting(),
        books.oldest(),
        books.refused(),
        state.commits(),
        state.commitNanos(),
        state.bytes());
  }

  /**
   * Writes what waits, notes a clean stop and gives the folder free. When the disk does not answer
   * within the time limit, or the caller is interrupted, the stop is not a clean one. Call it once,
   * after loop, publishers and readers have ended.
   */
  @Override
  public void close() {
    boolean ended = thread.isEmpty() || stop(thread.get());
    outboxes.forEach(OutboxReader::close);
    if (ended) {
      // While a scribe hangs in the disk nobody else may write: the lock ends with the process.
      lock.release();
    }
  }

  private boolean stop(Thread scribe) {
    parts.work().stop();
    try {
      scribe.join(parts.pace().stopWithin().toMillis());
      if (scribe.isAlive()) {
        parts.work().abandon();
        scribe.join(parts.pace().backOffMax().toMillis());
      }
    } catch (InterruptedException e) {
      parts.work().abandon();
      Thread.currentThread().interrupt();
    }
    return !scribe.isAlive();
  }

  private static FolderLock lock(JournalFolder folder, Path dataFolder) throws JournalException {
    try {
      folder.makeDataFolder();
    } catch (IOException e) {
      throw new JournalException("cannot make the data folder " + dataFolder + ": " + e, e);
    }
    return FolderLock.take(dataFolder);
  }
}

package org.borewarden.agent.journal;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.List;
import org.borewarden.agent.config.JournalConfig;

/**
 * An agent's writing half as a process of its own, to be killed: appends as fast as the journal has
 * room, acknowledges every other row of the outbox, and says what it has promised.
 *
 * <p>Says {@code started seq}, {@code durable seq}, {@code acknowledged seq} (before the deed) and
 * {@code failed why}, one a line. Told to {@code close}, it closes its journal, whatever the disk
 * does, and says {@code closed}; told to {@code open} a folder then, it goes on with that one. The
 * modes {@link Mode#EARLY} and {@link Mode#UNSYNCED} break the promise on purpose, to show that a
 * test would see it.
 */
final class WriterProcess {
  enum Mode {
    HONEST,
    /** Honest, and keeps little: a snapshot every 20 events, retention without pause. */
    RETIRING,
    /** Calls entries durable when they are only handed over. */
    EARLY,
    /** Calls entries durable that were written without a sync. */
    UNSYNCED
  }

  /** A dead disk keeps a stop waiting in vain; its end is then looked for more patiently. */
  private static final Pace PACE =
      new Pace(
          500,
          Duration.ZERO,
          Duration.ofMillis(5),
          Duration.ofMillis(50),
          Duration.ofMillis(5),
          Duration.ofSeconds(1),
          Duration.ofMillis(10),
          32L << 20);

  private final PrintStream out;
  private final BufferedReader orders =
      new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
  private final Mode mode;

  private WriterProcess(PrintStream out, Mode mode) {
    this.out = out;
    this.mode = mode;
  }

  public static void main(String[] arguments) throws Exception {
    PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
    new WriterProcess(out, Mode.valueOf(arguments[0])).run(Path.of(arguments[1]));
  }

  private void run(Path first) throws Exception {
    Path data = first;
    while (true) {
      try (JournalStore store = open(data)) {
        write(store);
      } catch (JournalException e) {
        out.println("unusable " + e.getMessage());
      }
      expect("close");
      out.println("closed");
      data = Path.of(expect("open "));
    }
  }

  /** Waits for an order and gives what stands behind it. */
  private String expect(String order) throws IOException {
    String line = orders.readLine();
    if (line == null || !line.startsWith(order)) {
      throw new IOException("expected the order to " + order + ", found " + line);
    }
    return line.substring(order.length());
  }

  private JournalStore open(Path data) throws JournalException {
    Connector real = new JournalFolder(data).connector();
    Connector connector = mode == Mode.UNSYNCED ? new Unsynced(real) : real;
    Keep keep =
        mode == Mode.RETIRING
            ? new Keep(Duration.ofDays(1), 64 << 10, false, Duration.ofNanos(1), 10)
            : Keep.of(JournalConfig.DEFAULT);
    PendingWork work = new PendingWork(200, PACE);
    return JournalStore.open(
        data, connector, work, keep, "0.1.0", () -> Stores.NOW, System::nanoTime);
  }

  /** Until there is an order. */
  private void write(JournalStore store) throws Exception {
    Ledger ledger = new Ledger(store.opened().lastSeq(), 350);
    try (JournalReader reader = store.reader()) {
      ledger.continueFrom(store.opened().lastSeq(), reader.lastSeqPerTopic());
    }
    out.println("started " + store.opened().lastSeq());
    store.start(new Saying());
    Outbox outbox = store.outbox();
    long cursor = 0;
    while (!orders.ready()) {
      append(store, ledger);
      cursor = acknowledgeOnASoundDisk(outbox, cursor);
    }
  }

  private void append(JournalStore store, Ledger ledger) {
    for (int i = 0; i < 20 && store.hasRoom(); i++) {
      List<Entry> event = ledger.event();
      store.append(event);
      if (mode == Mode.RETIRING && i == 0) {
        long seq = event.get(event.size() - 1).seq();
        store.putSnapshot(seq, 0, "a", () -> "state after " + seq);
      }
      if (mode == Mode.EARLY) {
        out.println("durable " + event.get(event.size() - 1).seq());
      }
    }
  }

  private long acknowledgeOnASoundDisk(Outbox outbox, long cursor) throws Exception {
    try {
      return acknowledgeSome(outbox, cursor);
    } catch (JournalException e) {
      out.println("unreadable " + e.getMessage());
      return cursor;
    }
  }

  private long acknowledgeSome(Outbox outbox, long cursor) throws Exception {
    long last = cursor;
    for (Entry row : outbox.next(cursor, 20)) {
      last = row.seq();
      if (last % 2 == 0 || mode == Mode.RETIRING) {
        out.println("acknowledged " + last);
        outbox.acknowledged(last);
      }
    }
    if (last == cursor) {
      outbox.awaitWork(5);
    }
    return last;
  }

  private final class Saying implements JournalListener {
    @Override
    public void durable(long seq) {
      if (mode != Mode.EARLY) {
        out.println("durable " + seq);
      }
    }

    @Override
    public void failed(String why) {
      out.println("failed " + why);
    }

    @Override
    public void recovered() {
      out.println("recovered");
    }
  }

  private record Unsynced(Connector real) implements Connector {
    @Override
    public Connection writer() throws SQLException {
      Connection connection = real.writer();
      connection.setAutoCommit(true);
      try (Statement statement = connection.createStatement()) {
        statement.execute("PRAGMA synchronous=OFF");
      }
      connection.setAutoCommit(false);
      return connection;
    }

    @Override
    public Connection reader() throws SQLException {
      return real.reader();
    }
  }
}

package org.borewarden.agent.journal;

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
 * {@code failed why}, one a line. The modes {@link Mode#EARLY} and {@link Mode#UNSYNCED} break the
 * promise on purpose, to show that a test would see it.
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

  private final PrintStream out;
  private final Mode mode;

  private WriterProcess(PrintStream out, Mode mode) {
    this.out = out;
    this.mode = mode;
  }

  public static void main(String[] arguments) throws Exception {
    PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
    new WriterProcess(out, Mode.valueOf(arguments[0])).run(Path.of(arguments[1]));
  }

  private void run(Path data) throws Exception {
    Connector real = new JournalFolder(data).connector();
    Connector connector = mode == Mode.UNSYNCED ? new Unsynced(real) : real;
    PendingWork work = new PendingWork(200, Stores.QUICK);
    Keep keep =
        mode == Mode.RETIRING
            ? new Keep(Duration.ofDays(1), 64 << 10, false, Duration.ofNanos(1), 10)
            : Keep.of(JournalConfig.DEFAULT);
    JournalStore store =
        JournalStore.open(data, connector, work, keep, "0.1.0", () -> Stores.NOW, System::nanoTime);
    Ledger ledger = new Ledger(store.opened().lastSeq(), 350);
    try (JournalReader reader = store.reader()) {
      ledger.continueFrom(store.opened().lastSeq(), reader.lastSeqPerTopic());
    }
    out.println("started " + store.opened().lastSeq());
    store.start(new Saying());
    Outbox outbox = store.outbox();
    long cursor = 0;
    while (true) {
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

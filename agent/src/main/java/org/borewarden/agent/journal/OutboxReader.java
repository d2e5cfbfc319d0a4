package org.borewarden.agent.journal;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * The publisher's side of the outbox, on a connection of its own. Rows that were answered are not
 * given out again while the scribe has not taken them out. {@link #waiting} may be called by any
 * thread, all else by the publisher's only.
 */
final class OutboxReader implements Outbox {
  private static final int MOST_ROWS = 1_000;

  private final ReadConnection connection;
  private final OutboxBooks books;
  private final PendingWork work;
  private long seenGrowths = -1;

  OutboxReader(ReadConnection connection, OutboxBooks books, PendingWork work) {
    this.connection = connection;
    this.books = books;
    this.work = work;
  }

  @Override
  public List<Entry> next(long afterSeq, int max) throws JournalException {
    if (max < 1 || max > MOST_ROWS) {
      throw new IllegalArgumentException("expected 1 to " + MOST_ROWS + " rows, found " + max);
    }
    seenGrowths = books.growths();
    List<Entry> waiting = new ArrayList<>();
    long after = afterSeq;
    boolean more = true;
    while (more && waiting.size() < max) {
      long from = after;
      List<Entry> rows =
          connection.read("the outbox", open -> Rows.entries(open, Rows.WAITING, from, max));
      for (Entry row : rows) {
        after = row.seq();
        if (waiting.size() < max && !books.isAnswered(row.seq())) {
          waiting.add(row);
        }
      }
      more = rows.size() == max;
    }
    return waiting;
  }

  @Override
  public void acknowledged(long seq) {
    if (books.note(seq)) {
      work.answer(new BrokerAnswer(seq, Optional.empty()));
    }
  }

  @Override
  public void setAside(long seq, String why) {
    if (books.note(seq)) {
      work.answer(new BrokerAnswer(seq, Optional.of(why)));
    }
  }

  @Override
  public boolean isNewestOnItsTopic(Entry row) throws JournalException {
    String topic = row.topic().orElse("");
    return connection.read("the last on " + topic, open -> Tables.lastOn(open, topic)) <= row.seq();
  }

  @Override
  public long rewinds() {
    return books.rewinds();
  }

  @Override
  public long waiting() {
    return books.waiting();
  }

  @Override
  public void awaitWork(long millis) throws InterruptedException {
    books.awaitGrowth(seenGrowths, millis);
  }

  void close() {
    connection.close();
  }
}

package org.borewarden.agent.journal;

import java.util.List;

/**
 * What of the journal the broker has not acknowledged, oldest first. Used by the one publisher
 * thread; what it reports is written by the scribe.
 */
public interface Outbox {
  /**
   * Rows that wait.
   *
   * @param afterSeq only rows with a higher seq
   * @param max at most so many, 1 to 1000
   * @return entries with a topic, in order of seq
   * @throws JournalException when the journal cannot be read
   */
  List<Entry> next(long afterSeq, int max) throws JournalException;

  /**
   * The broker has acknowledged a row with a good reason code.
   *
   * @param seq the row
   */
  void acknowledged(long seq);

  /**
   * The broker refuses a row for what it is (size, rights); it is kept aside with its reason and
   * does not block the rest.
   *
   * @param seq the row
   * @param why the broker's reason
   */
  void setAside(long seq, String why);

  /**
   * A number that changes when rows came that lie before those already read, because they are to be
   * sent again.
   *
   * @return the number; then the reading has to begin anew
   */
  default long rewinds() {
    return 0;
  }

  /**
   * Whether a row is the last on its topic. Only such a row may stand as a topic's kept state.
   *
   * @param row a row of this outbox
   * @return false when a later one was written
   * @throws JournalException when the journal cannot be read
   */
  default boolean isNewestOnItsTopic(Entry row) throws JournalException {
    return true;
  }

  /**
   * How many rows wait.
   *
   * @return the count, for metrics
   */
  long waiting();

  /**
   * Waits until rows may have come, or a time has passed.
   *
   * @param millis at most so long
   * @throws InterruptedException when the caller is asked to stop
   */
  void awaitWork(long millis) throws InterruptedException;
}

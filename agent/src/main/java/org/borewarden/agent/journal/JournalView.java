package org.borewarden.agent.journal;

import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Reads the journal, on its own connection with short transactions. One thread each. */
public interface JournalView extends AutoCloseable {
  /**
   * The journal's id, new when a journal is begun anew.
   *
   * @return a UUID in text
   */
  String journalId();

  /**
   * The highest seq stored.
   *
   * @return 0 for an empty journal
   */
  long lastSeq();

  /**
   * Entries in order.
   *
   * @param fromSeq the first seq wanted
   * @param max at most so many, 1 to 10 000
   * @return entries with seq {@code fromSeq} and up
   * @throws JournalException when the journal cannot be read
   */
  List<Entry> read(long fromSeq, int max) throws JournalException;

  /**
   * The last seq of each record topic, for {@code prev} after a start.
   *
   * @return topic below the root to seq
   * @throws JournalException when the journal cannot be read
   */
  Map<String, Long> lastSeqPerTopic() throws JournalException;

  /**
   * A text kept beside the journal, such as the text of a rules revision.
   *
   * @param name its name
   * @return the text, if it was kept
   * @throws JournalException when the journal cannot be read
   */
  Optional<String> text(String name) throws JournalException;

  /**
   * The first entry that is kept; those before it are retired.
   *
   * @return 1 when none is
   * @throws JournalException when the journal cannot be read
   */
  default long firstSeq() throws JournalException {
    return 1;
  }

  /**
   * The snapshots whose text is what was put and that belong to this very journal.
   *
   * @return newest first; empty when there is none, then a start replays from the first entry
   * @throws JournalException when the journal cannot be read
   */
  default List<Snapshot> snapshots() throws JournalException {
    return List.of();
  }

  @Override
  void close();
}

package org.borewarden.agent.board;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalView;

/** A journal without an entry. */
public final class EmptyJournal implements JournalView {
  @Override
  public String journalId() {
    return "j-1";
  }

  @Override
  public long lastSeq() {
    return 0;
  }

  @Override
  public List<Entry> read(long fromSeq, int max) {
    return List.of();
  }

  @Override
  public Map<String, Long> lastSeqPerTopic() {
    return Map.of();
  }

  @Override
  public Optional<String> text(String name) {
    return Optional.empty();
  }

  @Override
  public void close() {
    // Nothing is open.
  }
}

package org.borewarden.agent.proof;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Journal;
import org.borewarden.agent.journal.JournalView;

/** A journal in memory that says itself what of it a crash leaves. Thread-safe. */
final class MemoryJournal implements Journal, JournalView {
  private final List<Entry> entries = new ArrayList<>();

  @Override
  public synchronized void append(List<Entry> more) {
    entries.addAll(more);
  }

  @Override
  public boolean hasRoom() {
    return true;
  }

  @Override
  public String journalId() {
    return "memory";
  }

  @Override
  public synchronized long lastSeq() {
    return entries.size();
  }

  @Override
  public synchronized List<Entry> read(long fromSeq, int max) {
    int from = (int) Math.min(entries.size(), fromSeq - 1);
    return List.copyOf(entries.subList(from, Math.min(entries.size(), from + max)));
  }

  @Override
  public synchronized Map<String, Long> lastSeqPerTopic() {
    Map<String, Long> last = new HashMap<>();
    entries.forEach(e -> e.topic().ifPresent(topic -> last.put(topic, e.seq())));
    return last;
  }

  @Override
  public Optional<String> text(String name) {
    return Optional.empty();
  }

  @Override
  public void close() {}

  /** What a crash leaves: the entries up to a seq. */
  synchronized void cutAfter(long seq) {
    entries.subList((int) seq, entries.size()).clear();
  }
}

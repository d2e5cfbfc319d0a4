package org.borewarden.agent.loop;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Journal;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.journal.Snapshot;

/** A journal in memory; what of it is synced, and whether it has room, is up to the test. */
final class FakeJournal implements Journal, JournalView {
  final List<Entry> entries = new ArrayList<>();
  boolean room = true;
  boolean reserve = true;
  Runnable onAppend = () -> {};

  /** Newest first; a test may take them away. */
  final List<Snapshot> snapshots = new ArrayList<>();

  long firstSeq = 1;

  @Override
  public void append(List<Entry> more) {
    if (!reserve) {
      throw new IllegalStateException("no reserve, nothing was taken");
    }
    onAppend.run();
    entries.addAll(more);
  }

  @Override
  public void putSnapshot(long seq, long needed, String layout, Supplier<String> body) {
    snapshots.add(0, new Snapshot(seq, layout, body.get()));
  }

  @Override
  public List<Snapshot> snapshots() {
    return List.copyOf(snapshots);
  }

  @Override
  public long firstSeq() {
    return firstSeq;
  }

  @Override
  public boolean hasRoom() {
    return room && reserve;
  }

  @Override
  public boolean hasReserve() {
    return reserve;
  }

  @Override
  public String journalId() {
    return "fake";
  }

  @Override
  public long lastSeq() {
    return entries.isEmpty() ? 0 : entries.get(entries.size() - 1).seq();
  }

  @Override
  public List<Entry> read(long fromSeq, int max) {
    return entries.stream().filter(e -> e.seq() >= fromSeq).limit(max).toList();
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
  public void close() {}

  /** The kinds of the entries behind a seq, in order. */
  List<String> kindsAfter(long seq) {
    return entries.stream().filter(e -> e.seq() > seq).map(Entry::kind).toList();
  }
}

package org.borewarden.agent.journal;

import java.util.ArrayList;
import java.util.List;

/**
 * What goes into one transaction.
 *
 * @param entries successive entries
 * @param texts texts to keep
 * @param snapshots snapshots to keep
 * @param answers what the broker said about rows of the outbox
 */
record Batch(
    List<Entry> entries,
    List<Request.KeepText> texts,
    List<Request.KeepSnapshot> snapshots,
    List<BrokerAnswer> answers) {

  static final Batch EMPTY = new Batch(List.of(), List.of(), List.of(), List.of());

  static Batch of(List<Request> requests, List<BrokerAnswer> answers) {
    List<Entry> entries = new ArrayList<>();
    List<Request.KeepText> texts = new ArrayList<>();
    List<Request.KeepSnapshot> snapshots = new ArrayList<>();
    for (Request request : requests) {
      if (request instanceof Request.Group group) {
        entries.addAll(group.entries());
      } else if (request instanceof Request.KeepText text) {
        texts.add(text);
      } else if (request instanceof Request.KeepSnapshot keep) {
        snapshots.add(keep);
      }
    }
    return new Batch(entries, texts, snapshots, answers);
  }

  boolean isEmpty() {
    return entries.isEmpty() && texts.isEmpty() && snapshots.isEmpty() && answers.isEmpty();
  }

  /** The same without the first entries, which are stored already. */
  Batch withoutFirst(int stored) {
    return new Batch(entries.subList(stored, entries.size()), texts, snapshots, answers);
  }
}

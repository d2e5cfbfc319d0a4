package org.borewarden.agent.journal;

import java.util.ArrayList;
import java.util.List;

/**
 * What goes into one transaction.
 *
 * @param entries successive entries
 * @param texts texts to keep
 * @param snapshots snapshots to keep
 * @param again entries to be sent again
 * @param adopted whether a person has adopted the journal
 * @param answers what the broker said about rows of the outbox
 */
record Batch(
    List<Entry> entries,
    List<Request.KeepText> texts,
    List<Request.KeepSnapshot> snapshots,
    List<Request.SendAgain> again,
    boolean adopted,
    List<BrokerAnswer> answers) {

  static final Batch EMPTY =
      new Batch(List.of(), List.of(), List.of(), List.of(), false, List.of());

  static Batch of(List<Request> requests, List<BrokerAnswer> answers) {
    List<Entry> entries = new ArrayList<>();
    List<Request.KeepText> texts = new ArrayList<>();
    List<Request.KeepSnapshot> snapshots = new ArrayList<>();
    List<Request.SendAgain> again = new ArrayList<>();
    boolean adopted = false;
    for (Request request : requests) {
      if (request instanceof Request.Group group) {
        entries.addAll(group.entries());
      } else if (request instanceof Request.KeepText text) {
        texts.add(text);
      } else if (request instanceof Request.KeepSnapshot keep) {
        snapshots.add(keep);
      } else if (request instanceof Request.SendAgain sendAgain) {
        again.add(sendAgain);
      } else {
        adopted |= request instanceof Request.Adopted;
      }
    }
    return new Batch(entries, texts, snapshots, again, adopted, answers);
  }

  boolean isEmpty() {
    return entries.isEmpty()
        && texts.isEmpty()
        && snapshots.isEmpty()
        && again.isEmpty()
        && !adopted
        && answers.isEmpty();
  }

  /** The same without the first entries, which are stored already. */
  Batch withoutFirst(int stored) {
    return new Batch(
        entries.subList(stored, entries.size()), texts, snapshots, again, adopted, answers);
  }
}

package org.borewarden.agent.publish.mqtt;

import java.util.LinkedHashSet;
import java.util.Set;

/**
 * The rows that were lately acknowledged or set aside: the scribe may not have written that yet
 * when the outbox is read again. Forgetting one costs a duplicate. Owned by the publisher's thread.
 */
final class Settled {
  private static final int MOST = 10_000;

  private final Set<Long> seqs = new LinkedHashSet<>();

  void add(long seq) {
    seqs.add(seq);
    if (seqs.size() > MOST) {
      seqs.remove(seqs.iterator().next());
    }
  }

  void clear() {
    seqs.clear();
  }

  boolean contains(long seq) {
    return seqs.contains(seq);
  }
}

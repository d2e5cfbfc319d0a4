package org.borewarden.agent.journal;

import java.util.Collections;
import java.util.NavigableMap;
import java.util.TreeMap;

/**
 * The ids under which a journal's entries are told. A copied, restored or moved journal goes on
 * under an id of its own from some entry on, so that no seq is ever told twice under one id; the
 * entries before keep theirs.
 *
 * @param from the first entry of each id, to the id; at least one
 */
public record JournalIds(NavigableMap<Long, String> from) {
  /** Copies the map. */
  public JournalIds {
    from = Collections.unmodifiableNavigableMap(new TreeMap<>(from));
    if (from.isEmpty()) {
      throw new IllegalArgumentException("expected at least one id");
    }
  }

  /**
   * One id for all entries.
   *
   * @param id the id
   * @return the ids
   */
  public static JournalIds always(String id) {
    return new JournalIds(new TreeMap<>(java.util.Map.of(0L, id)));
  }

  /**
   * The id of an entry.
   *
   * @param seq the entry
   * @return the id under which it is told, for ever
   */
  public String of(long seq) {
    return from.floorEntry(Math.max(seq, from.firstKey())).getValue();
  }
}

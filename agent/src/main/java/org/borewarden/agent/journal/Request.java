package org.borewarden.agent.journal;

import java.util.List;

/** What the loop hands to the scribe, written in the order in which it was handed over. */
sealed interface Request {
  /**
   * Entries that belong into one transaction.
   *
   * @param entries successive entries
   */
  record Group(List<Entry> entries) implements Request {}

  /**
   * A text to keep.
   *
   * @param name its name
   * @param body the text
   */
  record KeepText(String name, String body) implements Request {}

  /**
   * A snapshot to keep.
   *
   * @param snapshot the snapshot
   */
  record KeepSnapshot(Snapshot snapshot) implements Request {}
}

package org.borewarden.agent.journal;

import java.util.List;
import java.util.function.Supplier;

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
   * @param seq the entry after which it holds
   * @param needed the first entry that it names; 0 for none
   * @param layout says which agents can read it
   * @param body gives its text
   */
  record KeepSnapshot(long seq, long needed, String layout, Supplier<String> body)
      implements Request {}

  /**
   * Entries to be sent again.
   *
   * @param from the first
   * @param to the last
   */
  record SendAgain(long from, long to) implements Request {}

  /** A person has adopted the journal. */
  record Adopted() implements Request {}
}

package org.borewarden.agent.journal;

import java.util.List;

/** The loop's side of the journal. */
public interface Journal {
  /**
   * Hands entries to the scribe; they will be written in one transaction, after those before them.
   * Called on the loop thread only; never blocks and never touches the disk.
   *
   * @param entries successive entries, the event first
   */
  void append(List<Entry> entries);

  /**
   * Whether there is room for more. While there is none the loop takes no readings.
   *
   * @return false when the scribe is behind by its limit
   */
  boolean hasRoom();
}

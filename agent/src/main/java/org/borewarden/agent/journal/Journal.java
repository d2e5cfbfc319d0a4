package org.borewarden.agent.journal;

import java.util.List;

/** The loop's side of the journal. */
public interface Journal {
  /**
   * Hands entries to the scribe; they will be written in one transaction, after those before them.
   * Called on the loop thread only; never blocks and never touches the disk.
   *
   * @param entries successive entries, the event first
   * @throws IllegalStateException when there is not even a reserve left ({@link #hasReserve}): then
   *     nothing was taken
   */
  void append(List<Entry> entries);

  /**
   * Whether there is room for more. While there is none the loop takes no readings.
   *
   * @return false when the scribe is behind by its limit
   */
  boolean hasRoom();

  /**
   * Whether there is still the reserve that is kept for conditions, commands and holds while there
   * is no room for readings. While there is none the loop takes no events at all, so that nothing
   * need be dropped.
   *
   * @return false when the reserve, too, is used up
   */
  default boolean hasReserve() {
    return hasRoom();
  }
}

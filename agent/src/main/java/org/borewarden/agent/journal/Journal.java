package org.borewarden.agent.journal;

import java.util.List;
import java.util.function.Supplier;

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

  /**
   * Keeps the loop's state after an entry, so that a start need not replay from the first. The last
   * two are kept. A journal that keeps none does nothing.
   *
   * @param seq the entry after which the state holds, the last of its event; it was appended
   * @param needed the first entry that the state still names; 0 for none. Neither it nor what led
   *     to it is retired
   * @param layout says which agents can read it
   * @param body gives the state in text; called on the scribe's thread
   */
  default void putSnapshot(long seq, long needed, String layout, Supplier<String> body) {}
}

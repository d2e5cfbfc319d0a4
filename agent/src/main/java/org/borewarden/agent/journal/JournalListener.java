package org.borewarden.agent.journal;

import java.util.Optional;

/** What the scribe reports. Called on the scribe's thread; must not block. */
public interface JournalListener {
  /**
   * All entries up to a seq are synced.
   *
   * @param seq the highest synced seq
   */
  void durable(long seq);

  /**
   * The journal cannot be written. Said once until it recovers; said once more, and then never
   * recovered from, when the trouble turns out to be beyond mending without a person.
   *
   * @param why in words
   */
  void failed(String why);

  /** The journal is written again, nothing lost. */
  void recovered();

  /**
   * Entries that the broker has not acknowledged keep the journal from staying within its size, or
   * no longer do.
   *
   * @param why in words; empty when it is over
   */
  default void outboxFull(Optional<String> why) {}

  /**
   * A group was committed and synced.
   *
   * @param nanos the time that it took
   */
  default void committed(long nanos) {}

  /**
   * Something was done that a person may ask about later.
   *
   * @param note what
   */
  default void noted(JournalNote note) {}
}

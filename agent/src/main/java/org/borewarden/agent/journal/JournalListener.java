package org.borewarden.agent.journal;

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
}

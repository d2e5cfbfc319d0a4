package org.borewarden.agent.journal;

/**
 * The loop's side of what is kept beside the journal. What is put here is written in order with the
 * entries: a text put before the entries that name it is never missing when they are there. Any
 * thread; never blocks.
 */
public interface Shelf {
  /**
   * Keeps a text, such as the text of a rules revision. A name that is taken keeps its first text.
   *
   * @param name its name
   * @param body the text
   */
  void putText(String name, String body);
}

package org.borewarden.agent.loop;

/** Something that shows or tells what the loop did. Called on the loop thread; must not block. */
public interface Outlet {
  /**
   * An event was taken and judged; nothing is written yet. Only a raised hold may leave the agent
   * here.
   *
   * @param turn what happened
   */
  void stepped(Turn turn);

  /**
   * The records of a turn are synced: what they say may leave the agent.
   *
   * @param turn what happened
   */
  void synced(Turn turn);

  /**
   * The loop has turned once, whether an event came or not.
   *
   * @param nanos the time of the turn, without waiting
   */
  default void turned(long nanos) {}
}

package org.borewarden.agent.loop;

/** Lets a test outside this room turn a loop by hand, without a thread and without waiting. */
public final class LoopTurns {
  private LoopTurns() {}

  /**
   * One turn that does not wait.
   *
   * @param inbox the loop's
   * @param loop the loop
   */
  public static void turn(Inbox inbox, Loop loop) throws InterruptedException {
    inbox.signal();
    loop.turn();
  }
}

package org.borewarden.agent.hold.modbus;

import java.time.Duration;

/** What a register output tells the metrics. Called on the output's threads; must not block. */
public interface LinkMeter {
  /** Tells nobody. */
  LinkMeter NONE = new LinkMeter() {};

  /**
   * A beat was written and answered, or was read by the controller.
   *
   * @param gap since the one before
   */
  default void beatGap(Duration gap) {}

  /**
   * A permit that stood at the controller is gone from it.
   *
   * @param latency from the loop's finding to the controller's answer, or to its next poll
   */
  default void withdrawn(Duration latency) {}

  /** The cell's echo moved to another one of our beats. */
  default void echoMoved() {}

  /**
   * The link was lost or came back.
   *
   * @param up whether the echo moves
   */
  default void link(boolean up) {}

  /**
   * Something was refused or failed.
   *
   * @param why a key: torn, version, short, echo, request, write, read, connect, peer, unit,
   *     address
   */
  default void refused(String why) {}
}

package org.borewarden.agent.command.local;

import java.util.List;
import java.util.Optional;

/** How the holds stand, for whoever asks at the socket. Thread-safe; never waits. */
public interface HoldsShown {
  /**
   * A cell's hold.
   *
   * @param cell the cell
   * @return the payload of its retained topic; empty for a cell that the config does not name
   */
  Optional<String> hold(String cell);

  /**
   * A cell's last cell test, or the one that runs.
   *
   * @param cell the cell
   * @return how it stands, with its protocol once it ended; empty for a cell that the config does
   *     not name
   */
  Optional<String> cellTest(String cell);

  /**
   * All holds.
   *
   * @return one payload per cell
   */
  List<String> holds();
}

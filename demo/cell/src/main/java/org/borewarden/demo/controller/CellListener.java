package org.borewarden.demo.controller;

/** Follows a cell. Called on the scan thread unless it says otherwise; must not block. */
public interface CellListener {
  /**
   * A part was finished.
   *
   * @param part the part
   */
  default void partFinished(Part part) {}

  /**
   * Something that can be seen from outside changed.
   *
   * @param state the new state
   */
  default void changed(CellState state) {}

  /**
   * Block A was written. Called on the connection's thread, in the order of the writes.
   *
   * @param blockA the twenty registers after it
   */
  default void written(int[] blockA) {}
}

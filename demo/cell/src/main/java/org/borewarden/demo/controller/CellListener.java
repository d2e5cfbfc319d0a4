package org.borewarden.demo.controller;

/** Follows a cell. Called on the scan thread; must not block. */
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
}

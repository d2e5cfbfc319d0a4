package org.borewarden.agent.command;

import java.util.Optional;

/** What one line of a door without topics asks for. */
public sealed interface LineText {

  /**
   * How holds stand; changes nothing.
   *
   * @param cell the cell; empty for all
   */
  record Query(Optional<String> cell) implements LineText {}

  /**
   * How the last cell test of a cell went, or how it stands; changes nothing.
   *
   * @param cell the cell
   */
  record CellTestQuery(String cell) implements LineText {}

  /**
   * A command.
   *
   * @param name its name as far as it could be told
   * @param text what became of reading it
   */
  record Asked(String name, CommandText text) implements LineText {}
}

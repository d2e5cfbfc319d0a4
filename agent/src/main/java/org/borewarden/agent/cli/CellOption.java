package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import picocli.CommandLine.Option;

/** The cell that an order is about. */
final class CellOption {
  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  CellOption() {}

  void putIn(ObjectNode order) {
    order.put("cell", cell);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import picocli.CommandLine.Option;

/** Why, for an order that must say so. */
final class ReasonOption {
  @Option(
      names = "--reason",
      paramLabel = "REASON",
      required = true,
      description = "A code or word.")
  private String reason = "";

  ReasonOption() {}

  void putIn(ObjectNode order) {
    order.put("reason", reason);
  }
}

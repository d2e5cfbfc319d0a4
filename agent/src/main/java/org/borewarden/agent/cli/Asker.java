package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import picocli.CommandLine.Option;

/** Who asks, where an order may leave that open: then the person at the socket is known only. */
final class Asker {
  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  Asker() {}

  void putIn(ObjectNode order) {
    Orders.putIfGiven(order, "who", who);
  }
}

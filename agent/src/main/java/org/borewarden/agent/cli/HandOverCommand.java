package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code hand-over}: what is open, for who takes over. */
@Command(
    name = "hand-over",
    description = {
      "Writes down what is open in a cell, at the start of a shift or for who takes over."
    })
public final class HandOverCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--to", paramLabel = "PERSON", description = "Who takes over.")
  private @Nullable String to;

  /** For picocli. */
  public HandOverCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("hand-over");
    cell.putIn(order);
    if (to != null) {
      order.put("to", to);
    }
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

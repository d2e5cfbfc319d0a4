package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code close-batch}: the batch that is cut is at its end. */
@Command(
    name = "close-batch",
    description = {
      "Says that the batch that is cut is at its end: its last part must have been measured."
    })
public final class CloseBatchCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(
      names = "--reason",
      paramLabel = "REASON",
      required = true,
      description = "A code or word.")
  private String reason = "";

  /** For picocli. */
  public CloseBatchCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("close-batch");
    order.put("cell", cell);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

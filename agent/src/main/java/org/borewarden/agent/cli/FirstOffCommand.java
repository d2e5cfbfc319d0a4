package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code first-off}: first-offs are asked for. */
@Command(
    name = "first-off",
    description = {"Asks for first-offs of a cell: another program, a changeover."})
public final class FirstOffCommand implements Callable<Integer> {
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
  public FirstOffCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("first-off");
    order.put("cell", cell);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

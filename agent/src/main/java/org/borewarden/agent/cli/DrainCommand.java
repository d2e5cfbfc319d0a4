package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code drain}: asks for a hold at the end of the part, so that the agent can be stopped. */
@Command(
    name = "drain",
    description = {
      "Asks for a hold at the end of the part, so that the agent can be stopped or upgraded.",
      "Only a release ends it."
    })
public final class DrainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--reason",
      paramLabel = "CODE",
      defaultValue = "drain",
      description = "Why (default: ${DEFAULT-VALUE}).")
  private String reason = "drain";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  /** For picocli. */
  public DrainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ask-hold");
    cell.putIn(order);
    order.put("reason", reason);
    asker.putIn(order);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, order);
  }
}

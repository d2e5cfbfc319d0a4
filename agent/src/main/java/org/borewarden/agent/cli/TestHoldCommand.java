package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code test-hold}: proves the path of a hold from the agent to the machine. */
@Command(
    name = "test-hold",
    description = {
      "Asks for a hold to prove its path: passed once the cell says that it heard it and stopped.",
      "Run it while the machine runs, and release the hold afterwards."
    })
public final class TestHoldCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  /** For picocli. */
  public TestHoldCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ask-hold");
    cell.putIn(order);
    order.put("reason", "hold-path-test");
    asker.putIn(order);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, order);
  }
}

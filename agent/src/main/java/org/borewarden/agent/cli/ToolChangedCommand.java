package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code tool-changed}: a tool or its edge was changed. */
@Command(
    name = "tool-changed",
    description = {
      "Says that a tool or its edge was changed: its bores are judged as a new series.",
      "The seq of the answer is evidence for a release."
    })
public final class ToolChangedCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--tool",
      paramLabel = "TOOL",
      description = "The tool (default: every tool of the cell).")
  private String tool = "";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  /** For picocli. */
  public ToolChangedCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("tool-changed");
    cell.putIn(order);
    Orders.putIfGiven(order, "tool", tool);
    asker.putIn(order);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code tool-changed}: a tool or its edge was changed. */
@Command(
    name = "tool-changed",
    description = {
      "Says that a tool or its edge was changed: its bores are judged as a new series.",
      "The seq of the answer is evidence for a release."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class ToolChangedCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(
      names = "--tool",
      paramLabel = "TOOL",
      description = "The tool (default: every tool of the cell).")
  private String tool = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public ToolChangedCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("tool-changed");
    order.put("cell", cell);
    Orders.putIfGiven(order, "tool", tool);
    Orders.putIfGiven(order, "who", who);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

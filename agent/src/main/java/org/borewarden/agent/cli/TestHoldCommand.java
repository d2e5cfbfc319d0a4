package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code test-hold}: proves the path of a hold from the agent to the machine. */
@Command(
    name = "test-hold",
    description = {
      "Asks for a hold to prove its path: passed once the cell says that it heard it and stopped.",
      "Run it while the machine runs, and release the hold afterwards."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class TestHoldCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public TestHoldCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ask-hold");
    order.put("cell", cell);
    order.put("reason", "hold-path-test");
    Orders.putIfGiven(order, "who", who);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

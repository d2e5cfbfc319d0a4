package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code drain}: asks for a hold at the end of the part, so that the agent can be stopped. */
@Command(
    name = "drain",
    description = {
      "Asks for a hold at the end of the part, so that the agent can be stopped or upgraded.",
      "Only a release ends it."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class DrainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(
      names = "--reason",
      paramLabel = "CODE",
      defaultValue = "drain",
      description = "Why (default: ${DEFAULT-VALUE}).")
  private String reason = "drain";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public DrainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ask-hold");
    order.put("cell", cell);
    order.put("reason", reason);
    Orders.putIfGiven(order, "who", who);
    Orders.putIfGiven(order, "text", text);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

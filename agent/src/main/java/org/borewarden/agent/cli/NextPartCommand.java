package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code next-part}: the bore under way gets no more readings. */
@Command(
    name = "next-part",
    description = {
      "Goes on to the next part: a bore under way is ended, and what it lacks is missing."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class NextPartCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(
      names = "--feature",
      paramLabel = "FEATURE",
      required = true,
      description = "The feature.")
  private String feature = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public NextPartCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("next-part");
    order.put("feature", feature);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code ring-check}: the next readings of a gauge are of a ring. */
@Command(
    name = "ring-check",
    description = {
      "Says that the next readings of a gauge are of a ring, before anything is set.",
      "The seq of a good check is evidence for a release."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class RingCheckCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  @Option(
      names = "--ring",
      paramLabel = "RING",
      description = "The ring that is on it (default: the one of the rules).")
  private String ring = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public RingCheckCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ring-check");
    order.put("gauge", gauge);
    Orders.putIfGiven(order, "ring", ring);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code mastered}: a gauge was set to its ring. */
@Command(
    name = "mastered",
    description = {
      "Says that a gauge was set to its ring: its next readings show how it was left.",
      "Use ring-check before setting it, else all bores since the last check are listed."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class MasteredCommand implements Callable<Integer> {
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
  public MasteredCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("mastered");
    order.put("gauge", gauge);
    Orders.putIfGiven(order, "ring", ring);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

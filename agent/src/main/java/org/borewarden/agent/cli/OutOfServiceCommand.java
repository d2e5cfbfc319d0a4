package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code out-of-service}: takes an alert out of service. */
@Command(
    name = "out-of-service",
    description = {
      "Takes an alert out of service because its gauge or feature is, until back-in-service.",
      "Only the alert is quiet: what withholds the permit goes on, and a hold is raised as ever."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class OutOfServiceCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  @Option(names = "--reason", paramLabel = "WORDS", required = true, description = "Why.")
  private String reason = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public OutOfServiceCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("out-of-service");
    order.put("alert", alert);
    order.put("reason", reason);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

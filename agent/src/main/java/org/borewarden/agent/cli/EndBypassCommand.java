package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code end-bypass}: ends a bypass before its time. */
@Command(
    name = "end-bypass",
    description = {"Ends a bypass before its time."},
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class EndBypassCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public EndBypassCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("end-bypass");
    order.put("cell", cell);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

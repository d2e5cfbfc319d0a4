package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code send-again}: puts entries into the outbox again. */
@Command(
    name = "send-again",
    description = {
      "Sends entries to the broker again that it has acknowledged, as far as they are kept.",
      "They carry the same agent, journal and seq, so that who has them drops them."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class SendAgainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--from", paramLabel = "SEQ", required = true, description = "The first entry.")
  private long from;

  @Option(
      names = "--to",
      paramLabel = "SEQ",
      required = true,
      description = "The last entry; at most 100000 at once.")
  private long to;

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public SendAgainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("send-again");
    order.put("from", from);
    order.put("to", to);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

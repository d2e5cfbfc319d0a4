package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code adopt-journal}: takes a copied or moved journal as this agent's. */
@Command(
    name = "adopt-journal",
    description = {
      "Takes a journal that was restored, copied or moved as this agent's. Until then no cell has a"
          + " permit.",
      "First make sure that no other agent runs on the original, and that the cells are as the"
          + " journal remembers them."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class AdoptJournalCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(
      names = "--reason",
      paramLabel = "CODE",
      required = true,
      description = "Why, such as restored, moved or cloned.")
  private String reason = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public AdoptJournalCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("adopt-journal");
    order.put("reason", reason);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

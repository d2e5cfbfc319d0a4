package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code adopt-journal}: takes a copied or moved journal as this agent's. */
@Command(
    name = "adopt-journal",
    description = {
      "Takes a journal that was restored, copied or moved as this agent's. Until then no cell has a"
          + " permit.",
      "First make sure that no other agent runs on the original, and that the cells are as the"
          + " journal remembers them."
    })
public final class AdoptJournalCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--reason",
      paramLabel = "CODE",
      required = true,
      description = "Why, such as restored, moved or cloned.")
  private String reason = "";

  /** For picocli. */
  public AdoptJournalCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("adopt-journal");
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

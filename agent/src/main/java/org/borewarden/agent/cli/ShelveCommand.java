package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code shelve}: sets an alert aside until an end. */
@Command(
    name = "shelve",
    description = {
      "Sets an alert aside for a time, with a reason. It comes back by itself.",
      "The alert of a hold is never set aside, and no hold is kept back."
    })
public final class ShelveCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  @Option(
      names = "--minutes",
      paramLabel = "COUNT",
      required = true,
      description = "How long, 1 to 1440 minutes.")
  private int minutes;

  @Option(names = "--reason", paramLabel = "WORDS", required = true, description = "Why.")
  private String reason = "";

  /** For picocli. */
  public ShelveCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("shelve");
    order.put("alert", alert);
    order.put("minutes", minutes);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

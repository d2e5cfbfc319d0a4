package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

/** {@code unshelve}: takes an alert out of the shelf before its time. */
@Command(
    name = "unshelve",
    description = {"Takes an alert out of the shelf before its time."})
public final class UnshelveCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  /** For picocli. */
  public UnshelveCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("unshelve");
    order.put("alert", alert);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

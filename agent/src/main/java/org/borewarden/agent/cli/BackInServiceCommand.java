package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

/** {@code back-in-service}: puts an alert back in service. */
@Command(
    name = "back-in-service",
    description = {"Puts an alert back in service; what still stands must be seen anew."})
public final class BackInServiceCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  /** For picocli. */
  public BackInServiceCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("back-in-service");
    order.put("alert", alert);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

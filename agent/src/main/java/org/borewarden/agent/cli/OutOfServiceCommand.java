package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code out-of-service}: takes an alert out of service. */
@Command(
    name = "out-of-service",
    description = {
      "Takes an alert out of service because its gauge or feature is, until back-in-service.",
      "Only the alert is quiet: what withholds the permit goes on, and a hold is raised as ever."
    })
public final class OutOfServiceCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  @Option(names = "--reason", paramLabel = "WORDS", required = true, description = "Why.")
  private String reason = "";

  /** For picocli. */
  public OutOfServiceCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("out-of-service");
    order.put("alert", alert);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Parameters;

/** {@code acknowledge}: a person has seen an alert. */
@Command(
    name = "acknowledge",
    description = {"Says that a person has seen an alert."})
public final class AcknowledgeCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Parameters(paramLabel = "ALERT", description = "The alert's key, such as forecast/bearing-seat.")
  private String alert = "";

  /** For picocli. */
  public AcknowledgeCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("acknowledge");
    order.put("alert", alert);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code step-forward}: the feature whose turn it is is passed over. */
@Command(
    name = "step-forward",
    description = {
      "Passes over the feature whose turn it is, at a gauge that measures in sequence."
    })
public final class StepForwardCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  /** For picocli. */
  public StepForwardCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("step-forward");
    order.put("gauge", gauge);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

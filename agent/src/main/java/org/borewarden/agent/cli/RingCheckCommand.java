package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code ring-check}: the next readings of a gauge are of a ring. */
@Command(
    name = "ring-check",
    description = {
      "Says that the next readings of a gauge are of a ring, before anything is set.",
      "The seq of a good check is evidence for a release."
    })
public final class RingCheckCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  @Option(
      names = "--ring",
      paramLabel = "RING",
      description = "The ring that is on it (default: the one of the rules).")
  private String ring = "";

  /** For picocli. */
  public RingCheckCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ring-check");
    order.put("gauge", gauge);
    Orders.putIfGiven(order, "ring", ring);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

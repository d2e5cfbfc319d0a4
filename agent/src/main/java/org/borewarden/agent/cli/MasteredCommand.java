package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code mastered}: a gauge was set to its ring. */
@Command(
    name = "mastered",
    description = {
      "Says that a gauge was set to its ring: its next readings show how it was left.",
      "Use ring-check before setting it, else all bores since the last check are listed."
    })
public final class MasteredCommand implements Callable<Integer> {
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
  public MasteredCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("mastered");
    order.put("gauge", gauge);
    Orders.putIfGiven(order, "ring", ring);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

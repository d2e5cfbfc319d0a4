package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code skip}: a feature of a part is passed over. */
@Command(
    name = "skip",
    description = {"Passes over a feature of the part in front of the gauge."})
public final class SkipCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--feature",
      paramLabel = "FEATURE",
      required = true,
      description = "The feature.")
  private String feature = "";

  @Option(
      names = "--reason",
      paramLabel = "REASON",
      required = true,
      description = "A code or word.")
  private String reason = "";

  /** For picocli. */
  public SkipCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("skip");
    order.put("feature", feature);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

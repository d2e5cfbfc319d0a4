package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code discard}: the last bore of a feature is taken back. */
@Command(
    name = "discard",
    description = {
      "Takes back the last bore: it is kept, marked, and counts no more. Lifts no hold."
    })
public final class DiscardCommand implements Callable<Integer> {
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
  public DiscardCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("discard");
    order.put("feature", feature);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code discard}: the last bore of a feature is taken back. */
@Command(
    name = "discard",
    description = {
      "Takes back the last bore: it is kept, marked, and counts no more. Lifts no hold."
    })
public final class DiscardCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public DiscardCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("discard");
    feature.putIn(order);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code skip}: a feature of a part is passed over. */
@Command(
    name = "skip",
    description = {"Passes over a feature of the part in front of the gauge."})
public final class SkipCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public SkipCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("skip");
    feature.putIn(order);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

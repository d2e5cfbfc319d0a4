package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code next-part}: the bore under way gets no more readings. */
@Command(
    name = "next-part",
    description = {
      "Goes on to the next part: a bore under way is ended, and what it lacks is missing."
    })
public final class NextPartCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public NextPartCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("next-part");
    feature.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code attribute}: a verdict without a number. */
@Command(
    name = "attribute",
    description = {"Says what was found of a bore without a number: the gauge or a plug."})
public final class AttributeCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--found",
      paramLabel = "FOUND",
      required = true,
      description = "does-not-enter (undersize), go (within) or no-go-enters (oversize).")
  private String found = "";

  /** For picocli. */
  public AttributeCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("attribute");
    feature.putIn(order);
    order.put("found", found);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code rework}: the next bore is of a part that was cut again. */
@Command(
    name = "rework",
    description = {"Says that the next bore is of a part that was cut again."})
public final class ReworkCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private VerdictOption seq = new VerdictOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public ReworkCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("rework");
    feature.putIn(order);
    reason.putIn(order);
    seq.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code challenge}: the next bore is of a piece of known size. */
@Command(
    name = "challenge",
    description = {"Says that the next bore is of a challenge piece, and what it must be."})
public final class ChallengeCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--expected",
      paramLabel = "VERDICT",
      required = true,
      description = "undersize, within or oversize.")
  private String expected = "";

  /** For picocli. */
  public ChallengeCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("challenge");
    feature.putIn(order);
    order.put("expected", expected);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

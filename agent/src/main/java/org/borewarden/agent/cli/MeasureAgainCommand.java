package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code measure-again}: a place of the bore under way, or the last part, is measured again. */
@Command(
    name = "measure-again",
    description = {
      "Measures a place of the bore under way again, or the last part where none is under way.",
      "The reading before it is kept and counts no more."
    })
public final class MeasureAgainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--place",
      paramLabel = "PLACE",
      description = "The place, such as entry/90 (default: the last one).")
  private String place = "";

  /** For picocli. */
  public MeasureAgainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("measure-again");
    feature.putIn(order);
    Orders.putIfGiven(order, "place", place);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

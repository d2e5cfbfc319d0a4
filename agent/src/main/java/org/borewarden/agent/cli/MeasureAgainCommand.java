package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code measure-again}: a place of the bore under way, or the last part, is measured again. */
@Command(
    name = "measure-again",
    description = {
      "Measures a place of the bore under way again, or the last part where none is under way.",
      "The reading before it is kept and counts no more."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class MeasureAgainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(
      names = "--feature",
      paramLabel = "FEATURE",
      required = true,
      description = "The feature.")
  private String feature = "";

  @Option(
      names = "--place",
      paramLabel = "PLACE",
      description = "The place, such as entry/90 (default: the last one).")
  private String place = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public MeasureAgainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("measure-again");
    order.put("feature", feature);
    Orders.putIfGiven(order, "place", place);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code gauge-disturbed}: something happened to a gauge. */
@Command(
    name = "gauge-disturbed",
    description = {
      "Says that something happened to a gauge: it is not believed until a good ring check."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
public final class GaugeDisturbedCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  @Option(
      names = "--what",
      paramLabel = "WHAT",
      required = true,
      description = "What happened: dropped, battery, head or other.")
  private String what = "";

  @Option(names = "--who", paramLabel = "PERSON", description = "Who asks: a person's id.")
  private String who = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public GaugeDisturbedCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("gauge-disturbed");
    order.put("gauge", gauge);
    order.put("what", what);
    Orders.putIfGiven(order, "who", who);
    return Orders.give(agent, spec.commandLine(), order);
  }
}

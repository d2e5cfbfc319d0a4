package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code gauge-disturbed}: something happened to a gauge. */
@Command(
    name = "gauge-disturbed",
    description = {
      "Says that something happened to a gauge: it is not believed until a good ring check."
    })
public final class GaugeDisturbedCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  @Option(
      names = "--what",
      paramLabel = "WHAT",
      required = true,
      description = "What happened: dropped, battery, head or other.")
  private String what = "";

  /** For picocli. */
  public GaugeDisturbedCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("gauge-disturbed");
    order.put("gauge", gauge);
    order.put("what", what);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

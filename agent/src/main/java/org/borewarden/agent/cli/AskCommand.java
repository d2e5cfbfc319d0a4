package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code ask}: a gauge that says nothing by itself is asked. */
@Command(
    name = "ask",
    description = {
      "Asks a gauge that says nothing by itself for a reading (on: command in agent.yaml)."
    })
public final class AskCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--gauge", paramLabel = "GAUGE", required = true, description = "The gauge.")
  private String gauge = "";

  /** For picocli. */
  public AskCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("ask");
    order.put("gauge", gauge);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code end-bypass}: ends a bypass before its time. */
@Command(
    name = "end-bypass",
    description = {"Ends a bypass before its time."})
public final class EndBypassCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  /** For picocli. */
  public EndBypassCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("end-bypass");
    order.put("cell", cell);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

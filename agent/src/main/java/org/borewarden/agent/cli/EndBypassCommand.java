package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code end-bypass}: ends a bypass before its time. */
@Command(
    name = "end-bypass",
    description = {"Ends a bypass before its time."})
public final class EndBypassCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public EndBypassCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("end-bypass");
    cell.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

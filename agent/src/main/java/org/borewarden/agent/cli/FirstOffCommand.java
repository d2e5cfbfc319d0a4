package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code first-off}: first-offs are asked for. */
@Command(
    name = "first-off",
    description = {"Asks for first-offs of a cell: another program, a changeover."})
public final class FirstOffCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private CellOption cell = new CellOption();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public FirstOffCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("first-off");
    cell.putIn(order);
    reason.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

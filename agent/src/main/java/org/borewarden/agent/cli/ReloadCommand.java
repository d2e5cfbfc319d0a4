package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code reload}: reads the rules file again now. */
@Command(
    name = "reload",
    description = {
      "Has the running agent read its rules file again now, as it does by itself within two seconds of a"
          + " change.",
      "Accepted means asked: a file with a fault changes nothing and is told in the log and on the"
          + " agent's topic. Run 'check' before."
    })
public final class ReloadCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  /** For picocli. */
  public ReloadCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("reload");
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code withdraw-concession}: a concession counts no more. */
@Command(
    name = "withdraw-concession",
    description = {"Takes a concession back before its last day."})
public final class WithdrawConcessionCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--feature",
      paramLabel = "FEATURE",
      required = true,
      description = "The feature.")
  private String feature = "";

  @Option(
      names = "--serial",
      paramLabel = "SERIAL",
      required = true,
      description = "The serial of its part.")
  private String serial = "";

  @Option(
      names = "--reason",
      paramLabel = "REASON",
      required = true,
      description = "A code or word.")
  private String reason = "";

  /** For picocli. */
  public WithdrawConcessionCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("withdraw-concession");
    order.put("feature", feature);
    order.put("serial", serial);
    order.put("reason", reason);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

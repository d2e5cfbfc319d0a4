package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code send-again}: puts entries into the outbox again. */
@Command(
    name = "send-again",
    description = {
      "Sends entries to the broker again that it has acknowledged, as far as they are kept.",
      "They carry the same agent, journal and seq, so that who has them drops them."
    })
public final class SendAgainCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private Asker asker = new Asker();

  @Option(names = "--from", paramLabel = "SEQ", required = true, description = "The first entry.")
  private long from;

  @Option(
      names = "--to",
      paramLabel = "SEQ",
      required = true,
      description = "The last entry; at most 100000 at once.")
  private long to;

  /** For picocli. */
  public SendAgainCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("send-again");
    order.put("from", from);
    order.put("to", to);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

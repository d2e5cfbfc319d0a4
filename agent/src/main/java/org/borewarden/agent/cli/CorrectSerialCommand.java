package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code correct-serial}: the wrong part was scanned. */
@Command(
    name = "correct-serial",
    description = {"Gives a bore that is already measured the serial of its part."})
public final class CorrectSerialCommand implements Callable<Integer> {
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

  @Option(
      names = "--seq",
      paramLabel = "SEQ",
      description = "The seq of the verdict; the last one where it is left out.")
  private @Nullable Long seq;

  /** For picocli. */
  public CorrectSerialCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("correct-serial");
    order.put("feature", feature);
    order.put("serial", serial);
    order.put("reason", reason);
    if (seq != null) {
      order.put("seq", seq);
    }
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

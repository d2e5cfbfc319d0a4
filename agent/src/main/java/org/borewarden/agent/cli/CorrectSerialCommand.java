package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code correct-serial}: the wrong part was scanned. */
@Command(
    name = "correct-serial",
    description = {"Gives a bore that is already measured the serial of its part."})
public final class CorrectSerialCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private VerdictOption seq = new VerdictOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--serial",
      paramLabel = "SERIAL",
      required = true,
      description = "The serial of its part.")
  private String serial = "";

  /** For picocli. */
  public CorrectSerialCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("correct-serial");
    feature.putIn(order);
    order.put("serial", serial);
    reason.putIn(order);
    seq.putIn(order);
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

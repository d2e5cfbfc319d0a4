package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code confirm}: the second person's word for what a first one asked for. */
@Command(
    name = "confirm",
    description = {
      "Confirms, as a second person, a release without evidence or a bypass that quality asked for.",
      "Look at the cell and the hold yourself first: two persons answer for it."
    })
public final class ConfirmCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  @Parameters(
      paramLabel = "COMMAND",
      description = "The id of the first person's command, as its answer and its alert show it.")
  private String command = "";

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(
      names = "--hold",
      paramLabel = "NUMBER",
      required = true,
      description = "The hold's number, as status shows it.")
  private int hold;

  @Option(
      names = "--revision",
      paramLabel = "NUMBER",
      required = true,
      description = "The revision that you saw in status.")
  private int revision;

  @Option(
      names = "--who",
      paramLabel = "PERSON",
      required = true,
      description = "Who confirms: a person's id, another one than the first person's.")
  private String who = "";

  /** For picocli. */
  public ConfirmCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("confirm");
    order.put("confirms", command);
    order.put("cell", cell);
    order.put("hold", hold);
    order.put("revision", revision);
    order.put("who", who);
    return Orders.giveWithChallenge(agent, order, cell);
  }
}

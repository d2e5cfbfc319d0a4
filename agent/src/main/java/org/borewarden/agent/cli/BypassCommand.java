package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code bypass}: runs in spite of named causes, for a time. */
@Command(
    name = "bypass",
    description = {"Runs in spite of named causes, for a time. A new cause ends it."})
public final class BypassCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

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
      description = "Who asks: a person's id.")
  private String who = "";

  @Option(names = "--reason", paramLabel = "CODE", required = true, description = "Why.")
  private String reason = "";

  @Option(
      names = "--cause",
      paramLabel = "CAUSE",
      required = true,
      description = "A cause that is excepted, as status names it; repeat it for more.")
  private List<String> causes = List.of();

  @Option(
      names = "--minutes",
      paramLabel = "COUNT",
      defaultValue = "15",
      description = "How long, 1 to 60 (default: ${DEFAULT-VALUE}).")
  private int minutes = 15;

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  /** For picocli. */
  public BypassCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("bypass");
    order.put("cell", cell);
    order.put("hold", hold);
    order.put("revision", revision);
    order.put("who", who);
    order.put("reason", reason);
    order.put("minutes", minutes);
    causes.forEach(order.putArray("causes")::add);
    Orders.putIfGiven(order, "text", text);
    return Orders.giveWithChallenge(agent, order, cell);
  }
}

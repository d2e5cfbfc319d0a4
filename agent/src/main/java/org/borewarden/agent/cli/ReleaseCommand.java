package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code release}: ends a hold. */
@Command(
    name = "release",
    description = {
      "Ends a hold. The permit comes back once the release is recorded; nothing moves by itself.",
      "Quote the hold and revision that status showed: a new cause since then voids the release."
    })
public final class ReleaseCommand implements Callable<Integer> {
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
      names = "--needed",
      paramLabel = "yes|no|unknown",
      required = true,
      description = "Whether the hold was needed.")
  private String needed = "";

  @Option(
      names = "--evidence",
      paramLabel = "SEQ",
      arity = "1..*",
      description =
          "What shows that the cause is gone: seqs of tool changes, offsets or bores within.")
  private List<Long> evidence = List.of();

  @Option(
      names = "--parts",
      paramLabel = "COUNT",
      description = "Ask for a trial of so many parts, each to be measured.")
  private int parts;

  @Option(
      names = "--contain",
      paramLabel = "measured|quarantined|scrapped",
      description = "What became of the parts to hold back.")
  private String contain = "";

  @Option(names = "--text", paramLabel = "WORDS", description = "Free words, up to 200 characters.")
  private String text = "";

  /** For picocli. */
  public ReleaseCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("release");
    order.put("cell", cell);
    order.put("hold", hold);
    order.put("revision", revision);
    order.put("who", who);
    order.put("reason", reason);
    order.put("needed", needed);
    if (!evidence.isEmpty()) {
      evidence.forEach(order.putArray("evidence")::add);
    }
    if (parts != 0) {
      order.put("parts", parts);
    }
    Orders.putIfGiven(order, "contain", contain);
    Orders.putIfGiven(order, "text", text);
    return Orders.giveWithChallenge(agent, order, cell);
  }
}

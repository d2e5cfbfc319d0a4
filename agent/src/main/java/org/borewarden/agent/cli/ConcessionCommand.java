package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code concession}: other limits for named parts. */
@Command(
    name = "concession",
    description = {
      "Gives named parts other limits until a day; the verdict by the rules stays beside it."
    })
public final class ConcessionCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();
  @Mixin private FeatureOption feature = new FeatureOption();
  @Mixin private ReasonOption reason = new ReasonOption();
  @Mixin private Asker asker = new Asker();

  @Option(
      names = "--until",
      paramLabel = "DATE",
      required = true,
      description = "The last day on which it counts.")
  private String until = "";

  @Option(
      names = "--authority",
      paramLabel = "WHO",
      required = true,
      description = "Who granted it, such as the number of a letter.")
  private String authority = "";

  @Option(
      names = "--lower",
      paramLabel = "LENGTH",
      description = "The lower limit, such as \"62.000 mm\".")
  private @Nullable String lower;

  @Option(names = "--upper", paramLabel = "LENGTH", description = "The upper limit.")
  private @Nullable String upper;

  @Option(
      names = "--serial",
      paramLabel = "SERIAL",
      required = true,
      description = "A part; may be given more than once.")
  private List<String> serials = List.of();

  /** For picocli. */
  public ConcessionCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("concession");
    feature.putIn(order);
    order.put("until", until);
    order.put("authority", authority);
    reason.putIn(order);
    serials.forEach(order.putArray("serials")::add);
    if (lower != null) {
      order.put("lower", lower);
    }
    if (upper != null) {
      order.put("upper", upper);
    }
    asker.putIn(order);
    return Orders.give(agent, order);
  }
}

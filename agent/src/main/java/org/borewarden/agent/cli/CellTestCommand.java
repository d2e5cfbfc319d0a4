package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Duration;
import java.util.concurrent.Callable;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.command.local.LocalClient;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code cell-test}: walks every bit of the registers toward a cell and prints the protocol. */
@Command(
    name = "cell-test",
    description = {
      "Walks every bit of the registers toward a cell that is in test mode, and prints the protocol.",
      "It waits for the end. No permit is given while it runs; with the machine in set-up only."
    },
    exitCodeList = {
      "0:every step passed",
      "1:refused, or a step failed; what is known is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    })
public final class CellTestCommand implements Callable<Integer> {
  /** A little longer than the agent lets a walk last. */
  private static final Duration PATIENCE = Duration.ofMinutes(11);

  private static final Duration ASK_EVERY = Duration.ofMillis(500);

  @Mixin private AgentSocket agent = new AgentSocket();

  @Option(names = "--cell", paramLabel = "CELL", required = true, description = "The cell.")
  private String cell = "";

  @Option(
      names = "--who",
      paramLabel = "PERSON",
      description = "Who asks: a person's id; stands in the protocol.")
  private String who = "";

  /** For picocli. */
  public CellTestCommand() {}

  @Override
  public Integer call() {
    ObjectNode order = Orders.of("cell-test");
    order.put("cell", cell);
    Orders.putIfGiven(order, "who", who);
    CommandLine line = agent.line();
    return Orders.talk(
        agent,
        client -> {
          int taken = Orders.answered(line, Orders.ask(client, order));
          return taken == CommandLine.ExitCode.OK ? follow(client, line) : taken;
        });
  }

  private int follow(LocalClient client, CommandLine line) throws IOException {
    ObjectNode query =
        JsonNodeFactory.instance.objectNode().put("query", "cell-test").put("cell", cell);
    long until = System.nanoTime() + PATIENCE.toNanos();
    JsonNode test = Orders.ask(client, query);
    while (test.path("running").asBoolean() && System.nanoTime() - until < 0) {
      LockSupport.parkNanos(ASK_EVERY.toNanos());
      test = Orders.ask(client, query);
    }
    line.getOut().println(test.path("protocol").asText("the test runs on; ask again later"));
    line.getOut().println("kept in " + test.path("file").asText("the agent's data folder"));
    return test.path("outcome").asText().equals("passed")
        ? CommandLine.ExitCode.OK
        : Orders.REFUSED;
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code status}: how the holds stand, and what to do next. */
@Command(
    name = "status",
    description = "Prints how the hold of each cell stands and what to do next; changes nothing.",
    exitCodeList = {
      "0:printed",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    })
public final class StatusCommand implements Callable<Integer> {
  @Mixin private AgentSocket agent = new AgentSocket();

  /** For picocli. */
  public StatusCommand() {}

  @Override
  public Integer call() {
    CommandLine line = agent.line();
    return Orders.talk(
        agent,
        client -> {
          JsonNode answer =
              Orders.ask(client, JsonNodeFactory.instance.objectNode().put("query", "holds"));
          if (!answer.has("holds")) {
            return Orders.answered(line, answer);
          }
          answer.get("holds").forEach(hold -> HoldWords.of(hold).forEach(line.getOut()::println));
          return CommandLine.ExitCode.OK;
        });
  }
}

package org.borewarden.agent.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.uuid.Generators;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Set;
import org.borewarden.agent.command.local.LocalClient;
import org.borewarden.agent.payload.Json;
import picocli.CommandLine;

/** Gives an order to the running agent and says in words what it answers. */
final class Orders {
  /** Exit code: the agent refused. */
  static final int REFUSED = 1;

  /** Exit code: no agent answers. */
  static final int NOT_REACHED = 3;

  /** A little longer than the agent waits for its own disk. */
  static final Duration PATIENCE = Duration.ofSeconds(12);

  private static final String SECOND_PERSON = "pending-second-person";
  private static final Set<String> TAKEN = Set.of("accepted", "pending-evidence", SECOND_PERSON);

  private Orders() {}

  /** A command of that name with an id of its own. */
  static ObjectNode of(String command) {
    return JsonNodeFactory.instance
        .objectNode()
        .put("command", command)
        .put("id", Generators.timeBasedEpochRandomGenerator().generate().toString());
  }

  static void putIfGiven(ObjectNode order, String field, String value) {
    if (!value.isEmpty()) {
      order.put(field, value);
    }
  }

  static int give(AgentSocket agent, ObjectNode order) {
    return talk(agent, client -> answered(agent.line(), ask(client, order)));
  }

  /** First asks how the hold stands: what gives a permit must quote the hold's challenge. */
  static int giveWithChallenge(AgentSocket agent, ObjectNode order, String cell) {
    CommandLine line = agent.line();
    return talk(
        agent,
        client -> {
          JsonNode hold =
              ask(
                  client,
                  JsonNodeFactory.instance.objectNode().put("query", "hold").put("cell", cell));
          if (!hold.has("challenge")) {
            return answered(line, hold);
          }
          order.put("challenge", hold.get("challenge").textValue());
          return answered(line, ask(client, order));
        });
  }

  /** What is said to an agent. */
  @FunctionalInterface
  interface Talk {
    int with(LocalClient client) throws IOException;
  }

  static int talk(AgentSocket agent, Talk talk) {
    PrintWriter err = agent.line().getErr();
    Path socket;
    try {
      socket = agent.find();
    } catch (AgentSocket.UnusableException unusable) {
      err.println(unusable.getMessage());
      return CommandLine.ExitCode.USAGE;
    }
    LocalClient client;
    try {
      client = LocalClient.connect(socket);
    } catch (IOException e) {
      err.println("no agent answers at " + socket + ": " + e.getMessage());
      return NOT_REACHED;
    }
    try (client) {
      return talk.with(client);
    } catch (IOException e) {
      err.println("the agent at " + socket + " gave no answer: " + e.getMessage());
      err.println("what it was asked may have been done all the same: see 'borewarden status'");
      return NOT_REACHED;
    }
  }

  static JsonNode ask(LocalClient client, JsonNode question) throws IOException {
    try {
      return Json.read(client.ask(question.toString(), PATIENCE), JsonNode.class);
    } catch (JsonProcessingException notJson) {
      throw new IOException("its answer is not understood: " + notJson.getOriginalMessage());
    }
  }

  /** Says what the agent answered. */
  static int answered(CommandLine line, JsonNode answer) {
    String code = answer.path("code").asText();
    String detail = answer.path("detail").asText();
    boolean taken = TAKEN.contains(code);
    PrintWriter to = taken ? line.getOut() : line.getErr();
    to.println(code + ": " + AnswerWords.of(code) + (detail.isEmpty() ? "" : " (" + detail + ")"));
    if (code.equals(SECOND_PERSON)) {
      to.println("it is command " + answer.path("id").asText());
    }
    if (answer.has("cell")) {
      to.println(
          answer.get("cell").asText()
              + ": "
              + answer.path("state").asText("unknown")
              + ", hold "
              + answer.path("hold").asInt()
              + ", revision "
              + answer.path("revision").asInt());
    }
    if (answer.has("seq")) {
      to.println("recorded under seq " + answer.get("seq").asLong());
    }
    return taken ? CommandLine.ExitCode.OK : REFUSED;
  }
}

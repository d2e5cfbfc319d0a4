package org.borewarden.demo.story;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.CellState;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.controller.Part;
import org.eclipse.paho.mqttv5.common.MqttException;

/** Watches both ends, the broker and the controller, and tells what they show. */
final class Telling {
  private static final String SEAT = "bearing-seat";
  private static final int CONTEXT_TAKEN = 18;
  private static final Pattern METRICS = Pattern.compile("http://\\S+/metrics");

  private final Account account;
  private final Ear ear;
  private final Controller controller;
  private final Map<String, JsonNode> answers = new ConcurrentHashMap<>();
  private volatile long judged;
  private volatile long charted;
  private volatile boolean permitOverMqtt;
  private volatile boolean goneOverMqtt;
  private volatile boolean backOverMqtt;
  private volatile boolean goneAtController;
  private volatile boolean backAtController;
  private volatile boolean ended;
  private long evidence;

  Telling(Account account, Ear ear, Controller controller) {
    this.account = account;
    this.ear = ear;
    this.controller = controller;
    ear.listen(this::heard);
    controller.listen(new AtController());
  }

  private void heard(String below, JsonNode message) {
    if (below.startsWith("answer/")) {
      answers.put(message.path("id").asText(), message);
    } else if (below.equals("verdict/" + SEAT)) {
      judged = message.path("part").asLong();
    } else if (below.equals("trend/" + SEAT)) {
      charted = message.path("last_part").asLong();
    } else if (below.startsWith("alert/")) {
      alert(message);
    } else if (below.startsWith("heartbeat/")) {
      permit(message.path("permit").asBoolean());
    }
  }

  private void alert(JsonNode alert) {
    account.say("alert", alert.path("state").asText() + ": " + alert.path("words").asText());
  }

  private void permit(boolean permit) {
    if (ended || permit == permitOverMqtt) {
      return;
    }
    permitOverMqtt = permit;
    goneOverMqtt |= !permit;
    backOverMqtt |= permit && goneOverMqtt;
    account.say("MQTT", permit ? "heartbeat with the permit" : "heartbeat without the permit");
  }

  private final class AtController implements CellListener {
    private boolean before;

    @Override
    public void changed(CellState state) {
      if (ended || state.permit() == before) {
        return;
      }
      before = state.permit();
      goneAtController |= !state.permit();
      backAtController |= state.permit() && goneAtController;
      account.say("controller", state.permit() ? "run permit present" : "run permit absent");
    }
  }

  boolean permitOverMqtt() {
    return permitOverMqtt;
  }

  /** Whether the agent has withdrawn the permit by a latched hold. */
  boolean held() {
    return ear.latest("hold/cell-4").map(hold -> hold.path("hold").asInt() > 0).orElse(false);
  }

  /** Whether both the verdict and the forecast after it have come; they come on two connections. */
  boolean judged(long part) {
    return judged >= part && charted >= part;
  }

  /**
   * Whether the agent knows the part at the gauge; a reading before that would be the last part's.
   */
  boolean contextTaken() {
    return controller.blockA()[CONTEXT_TAKEN] == controller.contextTold();
  }

  /** One line for a measured part: the seat, whose insert wears, and what is left. */
  void part(Part part) {
    JsonNode verdict = ear.latest("verdict/" + SEAT).orElseThrow();
    account.say(
        "part " + part.number(),
        SEAT
            + " "
            + verdict.path("value").asText()
            + " "
            + verdict.path("unit").asText()
            + " "
            + verdict.path("verdict").asText()
            + left());
  }

  private String left() {
    JsonNode forecast = ear.latest("trend/" + SEAT).orElseThrow().path("forecast");
    if (forecast.has("parts_left")) {
      return ", at least " + forecast.path("parts_left").asInt() + " parts left";
    }
    String why = forecast.path("no_forecast").asText("");
    return why.isEmpty() ? "" : ", no forecast (" + why + ")";
  }

  /** Sends a command and waits for its answer. */
  JsonNode ask(String role, String name, ObjectNode command)
      throws MqttException, StoryException, InterruptedException {
    String id = command.path("id").asText();
    ear.send(role, name, command);
    Waiting.until("the answer to " + name, Duration.ofSeconds(60), () -> answers.containsKey(id));
    JsonNode answer = Optional.ofNullable(answers.get(id)).orElseThrow();
    if (!answer.path("code").asText().equals("accepted")) {
      throw new StoryException(name + " was answered " + answer);
    }
    return answer;
  }

  String code(JsonNode answer) {
    return answer.path("code").asText() + " (record " + answer.path("seq").asLong() + ")";
  }

  void evidence(long seq) {
    evidence = seq;
  }

  long evidence() {
    return evidence;
  }

  /** Where the agent says that its metrics are. */
  String metricsAddress(Path log) throws StoryException {
    try {
      Matcher found = METRICS.matcher(Files.readString(log, StandardCharsets.UTF_8));
      if (found.find()) {
        return found.group();
      }
      throw new StoryException("the agent's log names no metrics address: " + log);
    } catch (IOException e) {
      throw new StoryException("cannot read " + log + ": " + e.getMessage());
    }
  }

  void placesToLook(Path work, String root) {
    account.line("To look at:");
    account.line("  " + root + "/verdict/#      each judged bore");
    account.line("  " + root + "/trend/#        where the bores go, retained");
    account.line("  " + root + "/alert/#        what asks for a person, retained");
    account.line("  " + root + "/recheck/#      which bores to measure again");
    account.line("  " + root + "/hold/cell-4    the hold, retained, valid only with the heartbeat");
    account.line("  " + work.resolve("agent.yaml") + ", rules.yaml, agent.log, data/journal");
  }

  /** What the ending of the processes does is no part of the story. */
  void end() {
    ended = true;
  }

  /** The permit must have gone and come back at both ends. */
  void check() throws StoryException {
    if (!goneAtController || !backAtController) {
      throw new StoryException("the permit did not go and come back at the controller");
    }
    if (!goneOverMqtt || !backOverMqtt) {
      throw new StoryException("the permit did not go and come back over MQTT");
    }
  }
}

package org.borewarden.demo.story;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.List;
import org.borewarden.demo.machine.GaugePort;
import org.eclipse.paho.mqttv5.common.MqttException;

/**
 * The gauge of the bearing seat on its setting ring: set before the shift, found to read too large
 * later, the bores that must be measured again, and set anew.
 */
final class RingScene {
  private static final String GAUGE = "bore-1";
  private static final String RING = "R62";
  private static final String INSPECTOR = "inspector-2";
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final int MOST_LINES = 4;

  /** The ring is certified at 62.0013 mm; the gauge shows whole micrometres. */
  private static final List<String> TRUE = List.of("62.001 mm", "62.001 mm", "62.002 mm");

  private static final List<String> TOO_LARGE = List.of("62.009 mm", "62.009 mm", "62.009 mm");

  private final Account account;
  private final Ear ear;
  private final Telling telling;
  private final GaugePort port;

  RingScene(Account account, Ear ear, Telling telling, GaugePort port) {
    this.account = account;
    this.ear = ear;
    this.telling = telling;
    this.port = port;
  }

  /** Before the shift: nothing that the gauge says is believed until it was seen on its ring. */
  void beforeTheShift() throws StoryException, InterruptedException, MqttException {
    Waiting.until("the gauge's belief", SOON, () -> belief().equals("unknown"));
    account.say("gauge", GAUGE + " was not on its ring yet: not believed, so no permit");
    set();
  }

  /** After the parts: the ring shows that the gauge reads too large. */
  void checkFails() throws StoryException, InterruptedException, MqttException {
    account.say("inspector", "puts ring " + RING + " on " + GAUGE + " to check it");
    ask("ring-check");
    onTheRing(TOO_LARGE);
    Waiting.until(
        "the list of bores to measure again",
        SOON,
        () -> ear.latest("recheck/" + GAUGE).isPresent());
    Waiting.until("the gauge's belief", SOON, () -> belief().equals("suspect"));
    account.say(
        "gauge", "shows 62.009 on a ring of 62.0013 mm: it reads too large and is not believed");
    JsonNode recheck = ear.latest("recheck/" + GAUGE).orElseThrow();
    JsonNode again = recheck.path("again");
    account.say(
        "agent",
        again.size()
            + " of the "
            + recheck.path("bores").asInt()
            + " bores since the good check may have another verdict; measure again:");
    for (int i = 0; i < Math.min(again.size(), MOST_LINES); i++) {
      account.say("", bore(again.get(i)));
    }
    if (again.size() > MOST_LINES) {
      account.say("", "... and " + (again.size() - MOST_LINES) + " more");
    }
    if (again.isEmpty()) {
      throw new StoryException("no bore is to be measured again: " + recheck);
    }
    set();
  }

  private static String bore(JsonNode bore) {
    return "part "
        + bore.path("part").asLong()
        + " was called "
        + bore.path("verdict").asText()
        + ", likely "
        + bore.path("likely").asText()
        + " ("
        + bore.path("likely_size").decimalValue().setScale(4, RoundingMode.HALF_EVEN)
        + " mm)";
  }

  private void set() throws StoryException, InterruptedException, MqttException {
    account.say("inspector", "sets " + GAUGE + " to ring " + RING + " and measures the ring");
    ask("mastered");
    onTheRing(TRUE);
    Waiting.until("the gauge to be believed", SOON, () -> belief().equals("good"));
    account.say("gauge", GAUGE + " shows its ring within 2 um: believed");
  }

  private void ask(String name) throws StoryException, InterruptedException, MqttException {
    ObjectNode command = ear.command();
    command.put("gauge", GAUGE).put("who", INSPECTOR);
    telling.ask("inspector", name, command);
  }

  private void onTheRing(List<String> lines) {
    lines.forEach(port::send);
  }

  private String belief() {
    return ear.latest("gauge/" + GAUGE).map(g -> g.at("/truth/belief").asText()).orElse("");
  }
}

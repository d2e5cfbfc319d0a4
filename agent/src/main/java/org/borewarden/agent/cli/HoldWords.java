package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.StreamSupport;

/** A hold's payload in words, and what a person does next. */
final class HoldWords {
  private HoldWords() {}

  static List<String> of(JsonNode hold) {
    List<String> lines = new ArrayList<>();
    int number = hold.path("hold").asInt();
    String state = hold.path("state").asText();
    lines.add(
        hold.path("cell").asText()
            + ": "
            + (hold.path("permit").asBoolean() ? "run permit" : "NO run permit")
            + ", "
            + state
            + (hold.path("recorded").asBoolean() ? "" : " (still being written)"));
    if (number != 0) {
      lines.add(
          "  hold "
              + number
              + ", revision "
              + hold.path("revision").asInt()
              + ", "
              + hold.path("kind").asText().replace('-', ' ')
              + "; "
              + cell(hold));
    }
    for (JsonNode cause : hold.path("causes")) {
      int count = cause.path("count").asInt();
      lines.add(
          "  because of "
              + cause.path("cause").asText()
              + (count > 1 ? ", " + count + " times" : ""));
    }
    if (!hold.path("conditions").isEmpty()) {
      lines.add("  as long as it stands: " + conditions(hold));
    }
    if (!hold.path("contain").isEmpty()) {
      lines.add("  parts to hold back: " + joined(hold.path("contain")));
    }
    lines.add("  since " + hold.path("since").asText() + ", by " + hold.path("by").asText());
    if (hold.path("watch_only").asBoolean()) {
      lines.add("  watch-only: findings are logged and the permit stays");
    }
    lines.add("  next: " + next(hold, state));
    return lines;
  }

  private static String cell(JsonNode hold) {
    if (hold.path("stopped").asBoolean()) {
      return "the cell has stopped for it";
    }
    return hold.path("heard").asBoolean()
        ? "the cell has heard it and has not said that it stopped"
        : "the cell has NOT said that it heard it";
  }

  private static String next(JsonNode hold, String state) {
    String release =
        "release --cell "
            + hold.path("cell").asText()
            + " --hold "
            + hold.path("hold").asInt()
            + " --revision "
            + hold.path("revision").asInt()
            + " --who PERSON --reason CODE --needed yes|no|unknown";
    boolean waits = !hold.path("conditions").isEmpty();
    return switch (state) {
      case "starting" ->
          waits
              ? "remedy what stands; what a start brings with it goes by itself in seconds"
              : "wait, the agent has only just started";
      case "permitted" -> "nothing to do";
      case "not-ready" -> "remedy what stands; the permit then comes back by itself";
      case "requested", "heard" ->
          (waits ? "remedy what stands, then the cause, then " : "remedy the cause, then ")
              + release;
      case "trial" ->
          "measure each part; " + hold.path("trial_parts_left").asInt() + " of the trial left";
      case "releasing" -> "wait, the release is being written";
      case "bypassed" ->
          "the bypass ends at "
              + hold.path("bypass_until").asText()
              + " and the hold stands again; before that "
              + release;
      default -> "look at the agent's log";
    };
  }

  private static String conditions(JsonNode hold) {
    return StreamSupport.stream(hold.path("conditions").spliterator(), false)
        .map(
            condition ->
                condition.path("condition").asText()
                    + (condition.has("subject") ? "/" + condition.get("subject").asText() : ""))
        .collect(Collectors.joining(", "));
  }

  private static String joined(JsonNode list) {
    return StreamSupport.stream(list.spliterator(), false)
        .map(JsonNode::asText)
        .collect(Collectors.joining(", "));
  }
}

package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.journal.Entry;

/**
 * What a journal says of the parts: its judgements, findings, alerts and what latched the hold, in
 * order, byte for byte but for what each run has of its own. That is: the seq of a reading (its
 * number in order of arrival stands for it), wall times, alerts of conditions of the agent's life,
 * and the cause {@code unclean-stop}.
 */
public final class Story {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Pattern READINGS = Pattern.compile("\"readings\":\\[([0-9,]*)]");
  private static final Pattern TIMES = Pattern.compile("\"(since|until)\":\"[^\"]*\",?");

  private final Map<Long, Integer> readings = new HashMap<>();
  private final List<String> lines = new ArrayList<>();
  private String lastHold = "";

  private Story() {}

  /**
   * The story of a journal.
   *
   * @param entries all of them
   * @return a line each
   */
  public static List<String> of(List<Entry> entries) {
    Story story = new Story();
    entries.forEach(story::take);
    return List.copyOf(story.lines);
  }

  /** Fails with the first line that is not the expected one. */
  static void requireSame(List<String> expected, List<String> found) {
    assertThat(firstDifference(expected, found)).isEmpty();
  }

  /** The first line that is not the expected one, in words. */
  public static Optional<String> firstDifference(List<String> expected, List<String> found) {
    for (int at = 0; at < Math.max(expected.size(), found.size()); at++) {
      String wanted = at < expected.size() ? expected.get(at) : "nothing more";
      String is = at < found.size() ? found.get(at) : "nothing more";
      if (!is.equals(wanted)) {
        return Optional.of(
            "the story differs in line " + (at + 1) + ": expected " + wanted + ", found " + is);
      }
    }
    return Optional.empty();
  }

  private void take(Entry entry) {
    switch (entry.kind()) {
      case "reading-taken" -> readings.put(entry.seq(), readings.size() + 1);
      case "bore-judged" -> lines.add("judged " + numbered(entry.body()));
      case "found" -> lines.add("found " + entry.body());
      case "not-judged" -> lines.add("not judged " + entry.body());
      case "alert-changed" -> alert(entry.body());
      case "hold-changed" -> hold(entry.body());
      default -> {
        // Agent life, and what people and controllers said.
      }
    }
  }

  /** An alert without a feature tells of a condition of the agent's life, such as a late beat. */
  private void alert(String body) {
    if (body.contains("\"feature\":")) {
      lines.add("alert " + TIMES.matcher(body).replaceAll(""));
    }
  }

  private String numbered(String body) {
    Matcher matcher = READINGS.matcher(body);
    StringBuilder out = new StringBuilder();
    while (matcher.find()) {
      List<String> numbers = new ArrayList<>();
      for (String seq : matcher.group(1).split(",", -1)) {
        numbers.add(String.valueOf(readings.get(Long.parseLong(seq))));
      }
      matcher.appendReplacement(out, "\"readings\":[" + String.join(",", numbers) + "]");
    }
    return matcher.appendTail(out).toString();
  }

  private void hold(String body) {
    StringBuilder causes = new StringBuilder("hold");
    for (JsonNode cause : tree(body).path("causes")) {
      if (!cause.path("cause").asText().equals("unclean-stop")) {
        causes
            .append(' ')
            .append(cause.path("cause").asText())
            .append(' ')
            .append(cause.path("kind").asText())
            .append(" x")
            .append(cause.path("count").asInt())
            .append(" first at reading ")
            .append(readings.get(cause.path("seq").asLong()));
      }
    }
    // A restart tells the same causes again, which is no news of the parts.
    if (!causes.toString().equals(lastHold) && (causes.length() > 4 || !lastHold.isEmpty())) {
      lastHold = causes.toString();
      lines.add(lastHold);
    }
  }

  public static JsonNode tree(String text) {
    try {
      return JSON.readTree(text);
    } catch (JsonProcessingException notJson) {
      throw new AssertionError("not JSON: " + text, notJson);
    }
  }
}

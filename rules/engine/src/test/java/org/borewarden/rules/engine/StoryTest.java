package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.borewarden.rules.Resource;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Shop-floor stories: lines of what happened, a rule of dashes, what the engine decided of it, each
 * decision with its seq; and so on. {@link Shop} knows the words.
 */
class StoryTest {
  @ParameterizedTest
  @ValueSource(
      strings = {
        "start",
        "wear",
        "release",
        "out-of-limit",
        "watch-only",
        "link",
        "source",
        "journal",
        "broker-only",
        "rules",
        "unclean-stop",
        "commands",
        "discard",
        "alerts",
        "trial",
        "trial-and-stop",
        "bypass",
        "cell-words",
        "not-judged",
        "parts",
        "tools",
        "on-loss",
        "counter",
        "two-persons",
        "hold-test",
        "aside",
        "temperature",
        "warm-ring",
        "plan",
        "confirm",
        "ring",
        "streams",
        "pool",
        "pool-slope",
        "containment",
        "belief",
        "without-a-number",
        "first-off",
        "sampling",
        "rework",
        "challenge",
        "concession",
        "wrong-part",
        "ready",
        "challenge-due",
        "which-by-cell",
        "hand-over",
        "which-by-size",
        "sequence",
        "ring-signs",
        "ask",
        "batch-closed",
        "sampling-by-time",
        "concession-withdrawn"
      })
  void theDecisionsAreThoseOfTheStory(String name) {
    List<String> told = Resource.lines(getClass(), "stories/" + name + ".txt");
    List<String> inputs = new ArrayList<>();
    List<String> happened = new ArrayList<>();
    Shop shop = new Shop();
    boolean decisions = false;
    for (String line : told) {
      if (line.equals("----")) {
        happened.addAll(inputs);
        happened.add(line);
        inputs.forEach(input -> happened.addAll(shop.take(input)));
        inputs.clear();
        decisions = true;
      } else if (isDecision(line)) {
        assertThat(decisions).as("a decision stands behind a rule: %s", line).isTrue();
      } else {
        decisions = false;
        inputs.add(line);
      }
    }
    assertThat(inputs).as("lines without a rule of dashes behind them").isEmpty();
    assertThat(String.join("\n", happened)).isEqualTo(String.join("\n", told));
  }

  private static boolean isDecision(String line) {
    return Character.isDigit(line.charAt(0))
        || line.matches("timer \\S+ in .*")
        || line.startsWith("no timer ")
        || line.startsWith("next at ")
        || line.startsWith("asks ")
        || line.startsWith("log ");
  }
}

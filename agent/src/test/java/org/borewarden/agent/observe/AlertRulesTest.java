package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Runs the shipped alert rules and their stories in promtool, and its opinion of our names. */
class AlertRulesTest {
  private static final Path FOLDER = Path.of("../deploy/prometheus").toAbsolutePath().normalize();

  @Test
  void promtoolFindsTwentyTwoRulesAndNoFault() throws Exception {
    assertThat(promtool("check", "rules", "alerts.yml").output())
        .contains("SUCCESS: 22 rules found");
  }

  @Test
  void everyStoryOfARuleEndsAsWritten() throws Exception {
    Ran ran = promtool("test", "rules", "alerts_test.yml");
    assertThat(ran.exit()).as(ran.output()).isZero();
  }

  @Test
  void theRecordingRulesSayWhatTheirStoriesSay() throws Exception {
    assertThat(promtool("check", "rules", "recording.yml").output())
        .contains("SUCCESS: 5 rules found");
    Ran ran = promtool("test", "rules", "recording_test.yml");
    assertThat(ran.exit()).as(ran.output()).isZero();
    assertThat(promtool("check", "config", "prometheus.yml").exit()).isZero();
    Set<String> rules = words("recording.yml", "- record: (\\S+)");
    assertThat(words("recording_test.yml", "expr: '(borewarden:\\w+:\\w+)")).isEqualTo(rules);
  }

  @Test
  void everyRuleHasAStoryInWhichItFires() throws IOException {
    Set<String> rules = words("alerts.yml", "- alert: (\\w+)");
    assertThat(
            words("alerts_test.yml", "alertname: (\\w+)\\n\\s+eval_time: \\S+\\n\\s+exp_alerts:"))
        .isEqualTo(rules)
        .hasSize(22);
  }

  @Test
  void theRulesAskForMetricsThatExist() throws IOException {
    Set<String> names =
        Arrays.stream(Metric.values()).map(Metric::exposedName).collect(Collectors.toSet());
    assertThat(words("alerts.yml", "\\b(borewarden_\\w+)"))
        .map(name -> name.replaceFirst("_(bucket|count)$", ""))
        .isSubsetOf(names);
  }

  @Test
  void promtoolFindsNoFaultInTheNamesOfAScrapeButOurTradesWord(@TempDir Path folder)
      throws Exception {
    Peers.require("promtool");
    Path scrape = folder.resolve("scrape");
    try (Metrics metrics = Everything.metrics(() -> 0)) {
      Everything.feed(metrics);
      Files.writeString(scrape, metrics.scrape(""));
    }
    Ran ran = Ran.run(folder, Map.of(), List.of("sh", "-c", "promtool check metrics < " + scrape));
    assertThat(ran.output().lines().filter(l -> l.contains("borewarden_")))
        .as("a gauge is a measuring device here, and promtool takes the word for a metric's type")
        .containsExactly(
            "borewarden_gauge_belief metric name should not include type 'gauge'",
            "borewarden_gauge_connected metric name should not include type 'gauge'");
    assertThat(ran.output()).doesNotContain("error while linting");
  }

  private static Ran promtool(String... words) throws Exception {
    Peers.require("promtool");
    List<String> command = new java.util.ArrayList<>(List.of("promtool"));
    command.addAll(List.of(words));
    return Ran.run(FOLDER, Map.of(), command);
  }

  private static Set<String> words(String file, String pattern) throws IOException {
    return Pattern.compile(pattern)
        .matcher(Files.readString(FOLDER.resolve(file)))
        .results()
        .map(m -> m.group(1))
        .collect(Collectors.toCollection(TreeSet::new));
  }
}

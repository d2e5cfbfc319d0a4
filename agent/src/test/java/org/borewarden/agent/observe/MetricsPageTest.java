package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** Holds docs/metrics.md against what a full scrape shows, in both directions. */
class MetricsPageTest {
  private static final Pattern ROW =
      Pattern.compile("^\\| `(borewarden_\\w+)` \\| ([a-z, ]*)\\| .+ \\|$", Pattern.MULTILINE);
  private static final Pattern TYPE =
      Pattern.compile("^# TYPE (borewarden_\\w+) (\\w+)$", Pattern.MULTILINE);
  private static final Pattern LABEL = Pattern.compile("(\\w+)=\"");

  @Test
  void thePageNamesWhatTheScrapeShowsWithTheSameLabels() throws IOException {
    assertThat(documented()).isEqualTo(scraped());
  }

  @Test
  void everyMetricHasItsSeriesInTheScrape() {
    assertThat(scraped().keySet())
        .containsExactlyInAnyOrderElementsOf(
            Arrays.stream(Metric.values()).map(Metric::exposedName).toList());
  }

  private static Map<String, String> documented() throws IOException {
    Map<String, String> rows = new TreeMap<>();
    Matcher row = ROW.matcher(Files.readString(Path.of("../docs/metrics.md")));
    while (row.find()) {
      String before = rows.put(row.group(1), sorted(List.of(row.group(2).trim().split(", ?"))));
      assertThat(before).as("%s stands once", row.group(1)).isNull();
    }
    return rows;
  }

  private static Map<String, String> scraped() {
    try (Metrics metrics = Everything.metrics(() -> 0)) {
      Everything.feed(metrics);
      String scrape = metrics.scrape("");
      Map<String, String> kinds =
          TYPE.matcher(scrape)
              .results()
              .collect(
                  Collectors.toMap(m -> m.group(1), m -> m.group(2), (a, b) -> a, TreeMap::new));
      Map<String, String> names = new TreeMap<>();
      kinds.forEach(
          (name, kind) -> {
            String base = name.replaceFirst("_max$", "");
            if (base.equals(name) || !"histogram".equals(kinds.get(base))) {
              names.put(name, labels(scrape, name));
            }
          });
      return names;
    }
  }

  private static String labels(String scrape, String name) {
    Pattern line = Pattern.compile("^" + name + "(?:_count)?(?:\\{(.*)\\})? \\S+$");
    List<String> found =
        scrape
            .lines()
            .map(line::matcher)
            .filter(Matcher::matches)
            .map(m -> m.group(1) == null ? "" : m.group(1))
            .map(l -> sorted(LABEL.matcher(l).results().map(r -> r.group(1)).toList()))
            .distinct()
            .toList();
    assertThat(found).as("label sets of %s", name).hasSize(1);
    return found.get(0);
  }

  private static String sorted(List<String> labels) {
    return String.join(", ", new TreeSet<>(labels));
  }
}

package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.Resource;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.WatchRule;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Shop-floor stories as text: settings, then a line per bore ({@code part um-above-nominal}, {@code
 * part withheld}, or what began a new segment), a rule of dashes, and every finding and clearing
 * that must follow. With an {@code order} a line begins with the part's serial, or with {@code -},
 * and the forecast after each bore is told; of a cumulative sum both sums are.
 */
class TranscriptTest {

  @ParameterizedTest
  @ValueSource(
      strings = {
        "wear.txt",
        "wear-guarded.txt",
        "wear-every-fourth.txt",
        "no-drift.txt",
        "run-on-one-side.txt",
        "wear-falsely-seen-as-a-run.txt",
        "order-by-arrival.txt",
        "order-by-serial.txt",
        "order-unknown.txt",
        "sloped-healthy-wear.txt",
        "sloped-wears-faster.txt"
      })
  void theFindingsAreThoseOfTheTranscript(String name) {
    List<String> lines = Resource.lines(getClass(), name);
    int rule = lines.indexOf("----");
    assertThat(rule).as("%s has a rule of dashes", name).isPositive();
    Map<String, String> settings = settings(lines);
    Seat seat = seat(settings);
    List<String> found = new ArrayList<>();
    int counted = 0;
    for (String line : lines.subList(0, rule)) {
      if (!line.contains("=")) {
        String[] words = line.split("\\s+", -1);
        WatchStep step =
            settings.containsKey("order")
                ? seat.bore(++counted, words[0], Lengths.of(words[1] + " um"))
                : step(seat, Long.parseLong(words[0]), words[1]);
        step.cleared().forEach(key -> found.add(words[0] + " cleared " + key));
        step.findings().forEach(finding -> found.add(words[0] + " " + words(finding)));
        if (seat.state instanceof ChartState chart
            && chart.memory() instanceof ChartMemory.Sums sums) {
          found.add(
              words[0]
                  + String.format(Locale.ROOT, " C+ %.3f C- %.3f", sums.upper(), sums.lower()));
        }
        if (settings.containsKey("order")) {
          found.add(words[0] + " " + forecast(step.forecast().orElseThrow()));
        }
      }
    }
    assertThat(found).isEqualTo(lines.subList(rule + 1, lines.size()));
  }

  private static String forecast(ForecastView view) {
    String slope =
        view.slope().isPresent()
            ? String.format(Locale.ROOT, "%+.3f um per part, ", view.slope().getAsDouble() * 1e6)
            : "";
    return slope + view.noForecast().orElseGet(() -> "in " + view.partsLeft().getAsInt());
  }

  private static WatchStep step(Seat seat, long part, String what) {
    return switch (what) {
      case "withheld" -> seat.withheld(part);
      case "tool-changed" -> seat.newSegment(SegmentCause.TOOL_CHANGED);
      case "offset-entered" -> seat.newSegment(SegmentCause.OFFSET_ENTERED);
      default -> seat.bore(part, Lengths.of(what + " um"));
    };
  }

  private static String words(Finding finding) {
    String level = finding.action().level().name().toLowerCase(Locale.ROOT);
    return level
        + " "
        + finding.key()
        + (finding.partsLeft().isPresent() ? " " + finding.partsLeft().getAsInt() : "");
  }

  private static Map<String, String> settings(List<String> lines) {
    return lines.stream()
        .filter(line -> line.contains("="))
        .map(line -> line.split(" = ", 2))
        .collect(Collectors.toMap(pair -> pair[0], pair -> pair[1]));
  }

  private static Seat seat(Map<String, String> settings) {
    String[] limits = settings.getOrDefault("limits", "").split(" \\.\\. ", -1);
    Seat seat =
        new Seat(
            Lengths.of(settings.getOrDefault("nominal", "")),
            new Limits(Optional.of(Lengths.of(limits[0])), Optional.of(Lengths.of(limits[1]))),
            Lengths.of(settings.getOrDefault("centre", "")),
            decision(settings.getOrDefault("rule", "")),
            watch(settings.getOrDefault("watch", "").split(" ", -1)));
    return settings.containsKey("order")
        ? seat.ordered(
            PartOrder.valueOf(settings.getOrDefault("order", "").toUpperCase(Locale.ROOT)))
        : seat;
  }

  private static DecisionRule decision(String text) {
    return text.startsWith("guard ")
        ? DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of(text.substring("guard ".length())))
        : new DecisionRule.Simple();
  }

  private static WatchRule watch(String[] words) {
    if (words[0].equals("one-side")) {
      return new WatchRule.OneSide(words[1], Integer.parseInt(words[3]), Seat.ALERT);
    }
    if (words[0].equals("cusum")) {
      return new WatchRule.Chart(
          words[1],
          new ChartTest.Cusum(Double.parseDouble(words[3]), Double.parseDouble(words[5]), 0),
          new ChartScale.Sloped(
              Lengths.of(words[7] + " " + words[8]), Lengths.of(words[10] + " " + words[11])),
          Seat.ALERT);
    }
    return new WatchRule.Forecast(
        words[1],
        Double.parseDouble(words[3]),
        Integer.parseInt(words[5]),
        Optional.of(Lengths.of(words[7] + " " + words[8])),
        Integer.parseInt(words[10]),
        parts(words[12]),
        parts(words[14]),
        Integer.parseInt(words[16]),
        Seat.ALERT,
        Seat.HOLD,
        Optional.empty());
  }

  private static OptionalInt parts(String word) {
    return word.equals("-") ? OptionalInt.empty() : OptionalInt.of(Integer.parseInt(word));
  }
}

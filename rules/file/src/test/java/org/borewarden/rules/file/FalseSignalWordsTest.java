package org.borewarden.rules.file;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** What {@code check} says of false signals; the figures are those of the published tables. */
class FalseSignalWordsTest {
  private static List<String> words(String watches) {
    String text =
        "part: p\nfeatures:\n  - {id: a, gauge: g, size: 62 H7, watches: [" + watches + "]}\n";
    return FalseSignalWords.of(RulesFileTest.good(text).rules());
  }

  private static double bores(String line) {
    Matcher matcher = Pattern.compile("one in (\\d+) bores").matcher(line);
    assertThat(matcher.find()).as(line).isTrue();
    return Double.parseDouble(matcher.group(1));
  }

  /** Champ and Woodall (1987): rules 1 to 4 together 91.75. */
  @Test
  void theJointRunLengthOfTheRulesThatAreOnIsSaid() {
    List<String> lines =
        words(
            "beyond: {sigma: 1 um}, beyond: {id: b, bores: 2, of: 3, sigmas: 2, sigma: 1 um}, "
                + "beyond: {id: c, bores: 4, of: 5, sigmas: 1, sigma: 1 um}, "
                + "run-on-one-side: {bores: 8}, repeats: {bores: 9}, drift: {}");
    assertThat(lines).hasSize(3);
    assertThat(bores(lines.get(1))).isBetween(83.0, 101.0);
    assertThat(lines.get(1)).contains("4 watches together").contains("caution: too often");
    assertThat(lines.get(2)).isEqualTo("  a: not counted: repeats, drift");
  }

  @Test
  void aRareSignalIsSaidToBeRareAndNoChartMeansNoWords() {
    assertThat(words("beyond: {sigmas: 5, sigma: 1 um}").get(1))
        .startsWith("  a: 1 watch, rarer than one in ");
    assertThat(words("forecast: {hold-within: 4 parts}")).isEmpty();
  }

  /** Metrology.md 4.8: 52 to 3295 at n = 30, 193 to 727 at n = 300. */
  @Test
  void aShortBaselineIsSaidToBeTooShort() {
    String thirty = words("beyond: {baseline: 30}").get(2);
    String many = words("beyond: {baseline: 300}").get(2);
    assertThat(thirty)
        .contains("from a baseline of 30: one in ")
        .endsWith("too short to be believed");
    Matcher matcher = Pattern.compile("one in (\\d+) to one in (\\d+)").matcher(many);
    assertThat(matcher.find()).isTrue();
    assertThat(Double.parseDouble(matcher.group(1))).isBetween(175.0, 210.0);
    assertThat(Double.parseDouble(matcher.group(2))).isBetween(640.0, 800.0);
    assertThat(many).doesNotContain("caution");
  }
}

package org.borewarden.agent.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Verdict;
import org.junit.jupiter.api.Test;

/** The words of a report, language by language. */
class TextsTest {
  private static final Pattern PLACE = Pattern.compile("\\{\\d\\}");

  @Test
  void everyLanguageSaysTheSameThings() {
    Texts english = Texts.in("en");
    for (String language : Texts.LANGUAGES) {
      Texts other = Texts.in(language);
      assertThat(other.keys()).as(language).isEqualTo(english.keys());
      for (String key : english.keys()) {
        assertThat(places(other, key)).as(language + " " + key).isEqualTo(places(english, key));
      }
    }
  }

  @Test
  void everyReasonVerdictAndAlertStateHasItsWords() {
    Texts words = Texts.in("de");
    Stream.of(Reason.values()).forEach(r -> assertThat(words.keys()).contains("reason." + r.key()));
    Stream.of(Verdict.values())
        .forEach(v -> assertThat(words.keys()).contains("verdict." + v.key()));
    Stream.of(AlertState.values())
        .forEach(s -> assertThat(words.keys()).contains("alert." + s.key()));
    assertThat(words.word("caution", "of-a-shops-own")).isEqualTo("of-a-shops-own");
  }

  private static Set<String> places(Texts texts, String key) {
    Set<String> places = new TreeSet<>();
    PLACE.matcher(texts.of(key)).results().map(MatchResult::group).forEach(places::add);
    return places;
  }
}

package org.borewarden.agent.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.EnumSet;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class WordsTest {
  private static final Pattern KEY = Pattern.compile("[{,]\\s*\"?([a-zA-Z0-9-]+)\"?: ?[\"`({]");

  @ParameterizedTest
  @ValueSource(strings = {"en", "de"})
  void everyReasonAndVerdictHasItsWords(String language) throws IOException {
    String words = words(language);
    String reasons = block(words, "reason");
    for (Reason reason : EnumSet.complementOf(EnumSet.of(Reason.NONE))) {
      assertThat(keys(reasons)).contains(reason.key());
    }
    for (Verdict verdict : Verdict.values()) {
      assertThat(keys(block(words, "verdict"))).contains(verdict.key());
    }
  }

  @Test
  void bothLanguagesHaveTheSameKeys() throws IOException {
    assertThat(keys(words("de"))).isEqualTo(keys(words("en")));
  }

  private static String block(String words, String name) {
    int from = words.indexOf("\n  " + name + ": {");
    assertThat(from).as(name).isPositive();
    return words.substring(from, words.indexOf("\n  },", from));
  }

  private static Set<String> keys(String words) {
    return new TreeSet<>(
        KEY.matcher(words).results().map((MatchResult found) -> found.group(1)).toList());
  }

  private static String words(String language) throws IOException {
    String name = "words-" + language + ".js";
    try (InputStream in = WordsTest.class.getResourceAsStream(name)) {
      assertThat(in).as(name).isNotNull();
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}

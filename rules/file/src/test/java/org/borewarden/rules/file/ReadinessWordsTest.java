package org.borewarden.rules.file;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** What {@code check} prints, reviewed by eye as a quality engineer reads it. */
class ReadinessWordsTest {
  private static final String TODAY = "2026-11-26";

  @Test
  void everythingThatCanStandAgainstAMeasurementIsSaidInWords() {
    assertThat(printed(Cases.resource("/readiness.yaml")))
        .isEqualTo(Cases.resource("/readiness.txt"));
  }

  @Test
  void theDemosRulesAreReadyAsFarAsTheySay() throws IOException {
    String rules = Files.readString(Path.of("../../demo/conf/rules.yaml"));
    assertThat(printed(rules)).isEqualTo(Cases.resource("/readiness-demo.txt"));
  }

  private static String printed(String text) {
    return String.join("\n", ReadinessWords.of(RulesFileTest.good(text).rules(), TODAY)) + "\n";
  }
}

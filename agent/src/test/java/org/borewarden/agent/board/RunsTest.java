package org.borewarden.agent.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.junit.jupiter.api.Test;

class RunsTest {
  private static final String ENTERED =
      """
      {"feature":"seat","verdict":"within","pm":62010000000,"value":62.010,"unit":"mm","by":"inspector-2"}
      """;

  @Test
  void aBoreIsToldWithTheDigitsOfItsReading() {
    assertThat(told(true, bore(7))).contains("\"pm\":62010000000").contains("\"digits\":3");
  }

  @Test
  void whoEnteredABoreIsToldOnlyToThoseWhoSignedIn() {
    assertThat(told(true, bore(7))).contains("inspector-2");
    assertThat(told(false, bore(7))).contains("within").doesNotContain("inspector-2");
  }

  @Test
  void aBoreTakenBackStaysAndSaysSo() {
    Entry back = entry(9, "bore-discarded", "{\"feature\":\"seat\",\"revised\":7}");
    assertThat(told(false, bore(7), bore(8), back))
        .containsOnlyOnce("\"gone\":true")
        .contains("\"seq\":7");
  }

  @Test
  void aViewerWhoHasAllIsToldNothing() {
    Runs runs = new Runs(false);
    runs.take(bore(7));
    assertThat(runs.since(7).json()).isEqualTo("{}");
    assertThat(runs.since(7).upTo()).isEqualTo(7);
  }

  private static String told(boolean names, Entry... entries) {
    Runs runs = new Runs(names);
    for (Entry entry : entries) {
      runs.take(entry);
    }
    return runs.since(0).json();
  }

  private static Entry bore(long seq) {
    return entry(seq, "bore-judged", ENTERED);
  }

  private static Entry entry(long seq, String kind, String body) {
    return new Entry(
        seq, seq, Instant.parse("2026-03-02T06:00:00Z"), kind, Optional.empty(), 0, "r1", body);
  }
}

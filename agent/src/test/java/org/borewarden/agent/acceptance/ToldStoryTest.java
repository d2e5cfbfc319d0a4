package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Objects;
import org.junit.jupiter.api.Test;

/** A run of the demo that was recorded reads as its story, and one that tells less does not. */
class ToldStoryTest {
  private final List<String> told = recorded();

  @Test
  void aRecordedRunOfTheDemoReadsAsItsStory() {
    assertThat(ToldStory.wrong(told)).isEmpty();
  }

  @Test
  void whatIsLeftOutOrToldOutOfPlaceIsMissed() {
    for (String words :
        List.of(
            "not on its ring yet",
            "has heard hold 1",
            "parts until a bore may be undersize",
            "turns the insert",
            "releases hold 1",
            "shows 62.009",
            "may have another verdict",
            "The permit went and came back")) {
      assertThat(ToldStory.wrong(without(words))).as(words).isNotEmpty();
    }
    List<String> early = new ArrayList<>(told);
    Collections.swap(early, line("releases hold 1"), line("has heard hold 1"));
    assertThat(ToldStory.wrong(early)).anyMatch(said -> said.contains("releases hold 1"));
  }

  @Test
  void aListThatDoesNotFitThePartsIsSeen() {
    int count = line("may have another verdict");
    List<String> other = new ArrayList<>(told);
    other.set(count, told.get(count).replaceAll("agent +\\d+ of", "agent  99 of"));
    assertThat(ToldStory.wrong(other)).anyMatch(said -> said.startsWith("told 99 bores"));

    other = new ArrayList<>(told);
    other.set(count + 1, told.get(count + 1).replaceAll("\\(62\\.0\\d", "(62.09"));
    assertThat(ToldStory.wrong(other)).anyMatch(said -> said.startsWith("not that part"));

    other = new ArrayList<>(told);
    int first = line("bearing-seat 62.");
    other.set(first, told.get(first).replaceFirst("within", "undersize"));
    assertThat(ToldStory.wrong(other)).anyMatch(said -> said.startsWith("a bad bore before"));
  }

  private List<String> without(String words) {
    return told.stream().filter(line -> !line.contains(words)).toList();
  }

  private int line(String words) {
    return told.indexOf(told.stream().filter(l -> l.contains(words)).findFirst().orElseThrow());
  }

  private static List<String> recorded() {
    try (InputStream run = ToldStoryTest.class.getResourceAsStream("/demo/fast-run.txt")) {
      byte[] bytes = Objects.requireNonNull(run, "demo/fast-run.txt").readAllBytes();
      return new String(bytes, StandardCharsets.UTF_8).lines().toList();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }
}

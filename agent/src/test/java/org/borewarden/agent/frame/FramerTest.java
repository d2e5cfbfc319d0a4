package org.borewarden.agent.frame;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.frame.Cut.Broken;
import org.borewarden.agent.frame.Cut.Flaw;
import org.borewarden.agent.frame.Cut.Whole;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class FramerTest {
  /** Each is cut in 200 ways, with four kinds of end. */
  private static final int STREAMS = Cases.count(40, 1_300);

  private static final int LONGEST = 16;

  @Test
  void crLfAndCrLfTogetherAllEndAFrame() {
    assertThat(cuts(quiet(Optional.empty()), "62.034\r62.035\n62.036\r\n62.037\n\r", 1))
        .containsExactly(
            new Whole("62.034"), new Whole("62.035"), new Whole("62.036"), new Whole("62.037"));
  }

  @Test
  void aTerminatorOfSeveralBytesEndsAFrameOnlyWhole() {
    assertThat(cuts(quiet(Optional.of("\r\n")), "62.0\r34\r\r\n62.035\r\n", 1))
        .containsExactly(new Whole("62.0\r34\r"), new Whole("62.035"));
  }

  @Test
  void framesBetweenStartAndEndOfTextAreCutAtTheEnd() {
    assertThat(cuts(quiet(Optional.of("\u0003")), "\u000262.034\u0003\u000262.035\u0003", 2))
        .containsExactly(new Whole("\u000262.034"), new Whole("\u000262.035"));
  }

  @Test
  void emptyFramesAreDroppedAndAreNoJunk() {
    Framer framer = quiet(Optional.empty());

    assertThat(cuts(framer, "\r\n\r\n\r\n", 1)).isEmpty();
    assertThat(framer.junkBytes()).isZero();
  }

  @Test
  void theLongestFrameIsTakenAndOneByteMoreIsRejected() {
    String longest = "1".repeat(LONGEST);

    for (String end : List.of("\r\n", "\r", "<end>")) {
      Framer framer = quiet(Optional.of(end));
      assertThat(cuts(framer, longest + end + longest + "2" + end + "62.034" + end, 1))
          .containsExactly(
              new Whole(longest), new Broken(Flaw.TOO_LONG, longest), new Whole("62.034"));
      assertThat(framer.junkBytes()).isGreaterThanOrEqualTo(LONGEST + 1);
    }
  }

  @Test
  void anEndlessFrameIsRejectedOnceAndTheNextFrameIsTaken() {
    Framer framer = quiet(Optional.of("\r\n"));
    String endless = "x".repeat(1_000_000);

    assertThat(cuts(framer, endless + "\r\n62.034\r\n", 1024))
        .containsExactly(new Broken(Flaw.TOO_LONG, "x".repeat(LONGEST)), new Whole("62.034"));
    assertThat(framer.junkBytes()).isBetween(1_000_000L, 1_000_002L);
  }

  @Test
  void afterOpeningEverythingUpToTheFirstEndMayBeHalfAFrame() {
    Framer framer = framer(Optional.empty());

    assertThat(cuts(framer, "2.034\r\n62.035\r\n", 3))
        .containsExactly(new Broken(Flaw.PARTIAL, "2.034"), new Whole("62.035"));
    assertThat(framer.junkBytes()).isEqualTo(5);
  }

  @Test
  void afterOpeningAQuietLineTheFirstFrameIsWhole() {
    assertThat(cuts(quiet(Optional.empty()), "62.034\r\n", 1)).containsExactly(new Whole("62.034"));
  }

  @Test
  void aPauseWithinTheFirstHalfDoesNotMakeItWhole() {
    Framer framer = framer(Optional.empty());

    List<Cut> all = new ArrayList<>(cuts(framer, "2.0", 1));
    framer.quiet();
    all.addAll(cuts(framer, "34\r\n62.035\r\n", 1));

    assertThat(all).containsExactly(new Broken(Flaw.PARTIAL, "2.034"), new Whole("62.035"));
  }

  @Test
  void aFrameWithALongGapIsRejectedWhole() {
    Framer framer = quiet(Optional.empty());

    List<Cut> all = new ArrayList<>(cuts(framer, "6", 1));
    framer.gap();
    all.addAll(cuts(framer, "62.034\r\n62.035\r\n", 1));

    assertThat(all).containsExactly(new Broken(Flaw.PARTIAL, "662.034"), new Whole("62.035"));
  }

  @Test
  void aGapBetweenFramesHarmsNone() {
    Framer framer = quiet(Optional.of("\r\n"));

    List<Cut> all = new ArrayList<>(cuts(framer, "62.034\r\n", 1));
    framer.gap();
    all.addAll(cuts(framer, "62.035\r\n", 1));

    assertThat(all).containsExactly(new Whole("62.034"), new Whole("62.035"));
  }

  @Test
  void theHalfFrameOfALostLinkIsHandedOverOnceAndNeverJoined() {
    Framer framer = quiet(Optional.empty());

    assertThat(cuts(framer, "62.0", 1)).isEmpty();
    assertThat(framer.lost()).contains(new Broken(Flaw.PARTIAL, "62.0"));
    assertThat(framer.lost()).isEmpty();
    assertThat(cuts(framer, "34\r", 1)).containsExactly(new Broken(Flaw.PARTIAL, "34"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "\r\n", "\r", "ab"})
  void anyChunkingGivesTheSameFrames(String end) {
    Optional<String> ends = Optional.of(end).filter(e -> !e.isEmpty());
    for (long seed = 1; seed <= STREAMS; seed++) {
      String stream = noise(new Random(seed), 200);
      List<Cut> inOne = cuts(framer(ends), stream, stream.length());
      for (int chunk = 1; chunk <= stream.length(); chunk++) {
        assertThat(cuts(framer(ends), stream, chunk))
            .as("seed %d, chunk %d", seed, chunk)
            .isEqualTo(inOne);
      }
    }
  }

  @Test
  void afterAnyNoiseTheFrameBehindTheNextEndIsTaken() {
    for (long seed = 1; seed <= 2_000; seed++) {
      Random random = new Random(seed);
      Framer framer = framer(random.nextBoolean() ? Optional.empty() : Optional.of("\r\n"));
      cuts(framer, noise(random, random.nextInt(300)), 1 + random.nextInt(40));

      List<Cut> after = cuts(framer, "\r\n62.034\r\n", 1 + random.nextInt(12));

      assertThat(after.get(after.size() - 1)).as("seed %d", seed).isEqualTo(new Whole("62.034"));
      assertThat(after.size()).as("seed %d", seed).isLessThanOrEqualTo(2);
    }
  }

  private static String noise(Random random, int length) {
    String alphabet = "0123456789. mab\r\n\r\n\u0000\u00ff";
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < length; i++) {
      text.append(alphabet.charAt(random.nextInt(alphabet.length())));
    }
    return text.toString();
  }

  private static Framer framer(Optional<String> ends) {
    Framer framer = new Framer(new PortConfig.Frame(ends, LONGEST));
    framer.opened();
    return framer;
  }

  private static Framer quiet(Optional<String> ends) {
    Framer framer = framer(ends);
    framer.quiet();
    return framer;
  }

  private static List<Cut> cuts(Framer framer, String stream, int chunk) {
    byte[] bytes = stream.getBytes(StandardCharsets.ISO_8859_1);
    List<Cut> all = new ArrayList<>();
    for (int from = 0; from < bytes.length; from += chunk) {
      byte[] part = Arrays.copyOfRange(bytes, from, Math.min(bytes.length, from + chunk));
      all.addAll(framer.take(part, part.length));
    }
    return all;
  }
}

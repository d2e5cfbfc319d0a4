package org.borewarden.agent.capture;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.IntToLongFunction;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.agent.config.CaptureConfig.Method;
import org.borewarden.agent.config.CaptureConfig.Within;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Captured;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;

/** Curves with known extremes; lengths in picometres. 1 000 samples a second unless said. */
class CaptureTest {
  private static final long SEED = 20_261_126;
  private static final long UM = 1_000_000;
  private static final long BORE = 62_000 * UM;

  /** What the gauge shows in no bore. */
  private static final long FREE = 62_900 * UM;

  private static final Method STABLE =
      new CaptureConfig.Stable(new Length(UM), Duration.ofMillis(200));

  private final List<Caught> caught = new ArrayList<>();
  private boolean partThere = true;
  private Capture capture = capture(STABLE, 1_000);

  private Capture capture(Method method, int rate) {
    Within inBore = new Within(new Length(BORE - 500 * UM), new Length(BORE + 500 * UM));
    return Capture.of(
        new CaptureConfig(rate, method, Optional.of(inBore), Optional.of("cell-4")),
        cell -> partThere && cell.equals("cell-4"));
  }

  private static Method rocked(int turns) {
    return new CaptureConfig.Turning(true, new Length(20 * UM), turns);
  }

  private static Method swung() {
    return new CaptureConfig.Turning(false, new Length(20 * UM), 1);
  }

  private void samples(int count, IntToLongFunction curve) {
    for (int i = 0; i < count; i++) {
      sample(curve.applyAsLong(i), Optional.empty());
    }
  }

  private void sample(long value, Optional<String> status) {
    capture
        .take(
            new Reading("bore-1", new Length(value), Unit.MILLIMETRE, 4, Optional.empty(), status))
        .ifPresent(caught::add);
  }

  private void outside() {
    samples(100, i -> FREE);
  }

  private List<Long> values() {
    return caught.stream()
        .filter(Caught.Taken.class::isInstance)
        .map(one -> ((Caught.Taken) one).reading().value().picometres())
        .toList();
  }

  private List<String> missed() {
    return caught.stream()
        .filter(Caught.Missed.class::isInstance)
        .map(one -> ((Caught.Missed) one).why())
        .toList();
  }

  private Captured basis(int n) {
    return ((Caught.Taken) caught.get(n)).reading().captured().orElseThrow();
  }

  @Test
  void aStableDwellGivesOneReadingForEachBoreAndNoneOutside() {
    outside();
    samples(300, i -> BORE + (i < 100 ? (100L - i) * 3 * UM : 0));
    samples(5_000, i -> BORE);
    outside();
    samples(400, i -> BORE + 7 * UM);
    outside();
    assertThat(values()).containsExactly(BORE, BORE + 7 * UM);
    assertThat(missed()).isEmpty();
    assertThat(((Caught.Taken) caught.get(0)).reading().decimals()).isEqualTo(4);
  }

  @Test
  void theMeanOfTheDwellCountsWithTheSpanOfItsSamples() {
    outside();
    // 0, 0.3, 0.6, 0, 0.3, 0.6 ... um: of 200 samples 67, 67 and 66; the mean is 59.7 / 200 um.
    samples(200, i -> BORE + i % 3 * 300_000L);
    assertThat(values()).containsExactly(BORE + 298_500);
    assertThat(basis(0)).isEqualTo(new Captured(200, new Length(600_000)));
  }

  @Test
  void whatIsASampleShortOrAPicometreTooWideIsNotStable() {
    outside();
    samples(199, i -> BORE);
    outside();
    assertThat(values()).isEmpty();
    samples(1_000, i -> BORE + i % 2 * (UM + 1));
    outside();
    assertThat(values()).isEmpty();
    assertThat(missed()).containsExactly("not-stable");
    samples(1_000, i -> BORE + i % 2 * UM);
    assertThat(values()).hasSize(1);
  }

  @Test
  void theDwellIsTheFirstOneOfAllWindowsAsAPlainSearchFindsIt() {
    Random random = new Random(SEED);
    for (int round = 0; round < 50; round++) {
      long[] walk = new long[800];
      long at = BORE;
      for (int i = 0; i < walk.length; i++) {
        at += Math.round(random.nextGaussian() * 60_000);
        walk[i] = at;
      }
      capture = capture(STABLE, 1_000);
      caught.clear();
      outside();
      samples(walk.length, i -> walk[i]);
      assertThat(values()).as("seed %s, round %s", SEED, round).isEqualTo(firstWindow(walk));
    }
  }

  private static List<Long> firstWindow(long[] walk) {
    for (int from = 0; from + 200 <= walk.length; from++) {
      long least = Long.MAX_VALUE;
      long most = Long.MIN_VALUE;
      long sum = 0;
      for (int i = from; i < from + 200; i++) {
        least = Math.min(least, walk[i]);
        most = Math.max(most, walk[i]);
        sum += walk[i] - BORE;
      }
      if (most - least <= UM) {
        return List.of(BORE + FlagCapture.mean(sum, 200));
      }
    }
    return List.of();
  }

  /** Exact algebra: the vertex of a (x - 200.5)^2 + c is c, and lies between two samples. */
  @Test
  void aRockedGaugeGivesTheVertexOfItsDip() {
    capture = capture(rocked(1), 1_000);
    outside();
    samples(401, i -> BORE + (2L * i - 401) * (2L * i - 401) * 1_000);
    assertThat(values()).hasSize(1);
    assertThat(values().get(0)).isCloseTo(BORE, within(1L));
    // The lowest samples stand 1 000 pm above it.
    assertThat(basis(0).samples()).isGreaterThan(50);
    assertThat(basis(0).span().picometres()).isLessThan(20 * UM);
  }

  @Test
  void aSwungGaugeGivesTheVertexOfItsHillThoughItLeavesTheBoreUpward() {
    capture = capture(swung(), 1_000);
    outside();
    samples(401, i -> BORE - (2L * i - 401) * (2L * i - 401) * 1_000);
    samples(200, i -> BORE - 160 * UM + i * 3L * UM);
    outside();
    assertThat(values()).hasSize(1);
    assertThat(values().get(0)).isCloseTo(BORE, within(1L));
  }

  /**
   * The reading of a bore D at the angle t is D / cos t (geometry), so its least is D. The noise is
   * that of metrology of the shop: 0.5 um at 2 kHz, of which the raw smallest would be about 1.2 um
   * too small.
   */
  @Test
  void noiseDoesNotMakeTheRockedBoreSmaller() {
    Random random = new Random(SEED);
    double off = 0;
    int times = 60;
    for (int round = 0; round < times; round++) {
      capture = capture(rocked(1), 2_000);
      caught.clear();
      outside();
      samples(
          2_000,
          i -> {
            double t = Math.toRadians(-3 + 6.0 * i / 1_999);
            return Math.round(BORE / Math.cos(t) + 500_000 * random.nextGaussian());
          });
      assertThat(values()).as("seed %s, round %s", SEED, round).hasSize(1);
      off += values().get(0) - BORE;
    }
    // The parabola stands for 1 / cos t, and each vertex is uncertain by some 0.03 um.
    assertThat(off / times).as("seed %s", SEED).isCloseTo(0, within(0.03 * UM));
  }

  @Test
  void ofSeveralTurningPointsTheSmallestCountsAndTooFewAreTold() {
    capture = capture(rocked(3), 1_000);
    outside();
    for (long least : new long[] {4, 1, 6}) {
      samples(401, i -> BORE + least * UM + (2L * i - 401) * (2L * i - 401) * 1_000);
    }
    outside();
    assertThat(values()).hasSize(1);
    assertThat(values().get(0)).isCloseTo(BORE + UM, within(1L));
    samples(401, i -> BORE + (2L * i - 401) * (2L * i - 401) * 1_000);
    outside();
    assertThat(values()).hasSize(1);
    assertThat(missed()).containsExactly("no-turn");
    assertThat(((Caught.Missed) caught.get(1)).detail()).endsWith("found 1");
  }

  @Test
  void aGaugeThatRestsForMinutesInTheBoreStillTurnsAfterwards() {
    capture = capture(rocked(1), 1_000);
    outside();
    samples(65_000, i -> BORE + 300 * UM);
    samples(401, i -> BORE + (2L * i - 401) * (2L * i - 401) * 1_000);
    assertThat(values()).hasSize(1);
    assertThat(values().get(0)).isCloseTo(BORE, within(1L));
  }

  @Test
  void aKeyThatIsHeldDownGivesOneReadingTheMeanOfTheLastSamples() {
    capture =
        capture(new CaptureConfig.Flagged(List.of("D"), Optional.of(Duration.ofMillis(4))), 1_000);
    sample(BORE, Optional.of("D"));
    assertThat(caught).as("down from the start: pressed for the one before").isEmpty();
    for (int i = 0; i < 10; i++) {
      sample(BORE + i, Optional.of("-"));
    }
    for (int i = 10; i < 20; i++) {
      sample(BORE + i, Optional.of("D"));
    }
    // 7, 8, 9, 10: the mean is 8.5, half to even.
    assertThat(values()).containsExactly(BORE + 8);
    assertThat(basis(0)).isEqualTo(new Captured(4, new Length(3)));
  }

  @Test
  void withoutAPartInFrontOfTheGaugeNothingIsCaptured() {
    partThere = false;
    outside();
    samples(1_000, i -> BORE);
    assertThat(caught).isEmpty();
    partThere = true;
    samples(1_000, i -> BORE);
    partThere = false;
    samples(1, i -> BORE);
    partThere = true;
    samples(1_000, i -> BORE + 2 * UM);
    assertThat(values()).containsExactly(BORE, BORE + 2 * UM);
  }

  @Test
  void aSpikeWithinTheBoreIsNoNewBoreAndALostSampleIsNoSuccessor() {
    outside();
    samples(250, i -> BORE);
    samples(20, i -> FREE);
    samples(500, i -> BORE);
    assertThat(values()).as("20 ms outside are a spike").hasSize(1);
    outside();
    samples(150, i -> BORE);
    capture.missing();
    samples(199, i -> BORE);
    assertThat(values()).hasSize(1);
    samples(1, i -> BORE);
    assertThat(values()).hasSize(2);
  }

  @Test
  void aLinkThatIsLostInABoreIsToldAndTheRestOfThatStayGivesNothing() {
    outside();
    samples(100, i -> BORE);
    capture.gap().ifPresent(caught::add);
    samples(1_000, i -> BORE);
    assertThat(values()).isEmpty();
    assertThat(missed()).containsExactly("gap");
    outside();
    samples(300, i -> BORE);
    assertThat(values()).containsExactly(BORE);
    assertThat(capture.gap()).as("the bore had its reading").isEmpty();
  }
}

package org.borewarden.rules.gauge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import java.util.Set;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.Test;

/** S10 itself stands in the story ring.txt; here is what it does not show. */
class SuspectWindowTest {
  private static final long SEED = 99;
  private static final Noise NOISE = new Noise(600_000, 1_000_000);
  private static final Length R62 = new Length(62_000_000_000L);

  /** u of S10: sqrt((0.6^2 + 1/12)/3) = 0.3844 um. */
  @Test
  void theNoiseOfACheckIsThatOfS10() {
    assertThat(NOISE.ofMean(3) / 1e6).isCloseTo(0.3844, within(0.00005));
  }

  /** Against a walk through all errors that are possible, in steps of 10 nm. */
  @Test
  void aBoreIsListedWhereSomePossibleErrorChangesItsVerdict() {
    Random random = new Random(SEED);
    int listedAll = 0;
    for (int i = 0; i < 200; i++) {
      RingCheck good = check("A", 0, random.nextInt(3) - 1);
      RingCheck failed = check("A", 0, random.nextInt(13) - 6);
      BoreLog log = BoreLog.EMPTY;
      Set<Long> expected = new HashSet<>();
      for (int n = 0; n < 15; n++) {
        log = log.with(AttributionTest.bore("a", random.nextInt(45) - 8, false));
      }
      SuspectWindow window = SuspectWindow.of(good, failed, NOISE, log, OptionalInt.empty());
      double most = window.most().orElseThrow();
      for (LoggedBore bore : log.bores()) {
        for (double b = window.least().orElseThrow(); b <= most; b += 10_000) {
          if (verdict(bore, b) != bore.verdict()) {
            expected.add(bore.seq());
          }
        }
        if (verdict(bore, most) != bore.verdict()) {
          expected.add(bore.seq());
        }
      }
      Set<Long> listed = new HashSet<>();
      window.listed().forEach(s -> listed.add(s.bore().seq()));
      assertThat(listed).as("seed %s, case %s", SEED, i).isEqualTo(expected);
      listedAll += listed.size();
    }
    assertThat(listedAll).as("seed %s", SEED).isBetween(200, 2_800);
  }

  private static Verdict verdict(LoggedBore bore, double error) {
    Length value = bore.judged().low().minus(new Length(Math.round(error)));
    return Judge.judge(bore.acceptance(), value).verdict();
  }

  @Test
  void withTwoRingsTheirUncertaintiesAreAdded() {
    double one = width(check("A", 400_000, 0), check("A", 400_000, 4));
    double two = width(check("A", 400_000, 0), check("B", 400_000, 4));
    double u = NOISE.ofMean(3);
    assertThat(one).isCloseTo(4e6 + 4 * u, within(2.0));
    assertThat(two).isCloseTo(4e6 + 4 * Math.sqrt(u * u + 2 * 400_000.0 * 400_000.0), within(2.0));
  }

  private static double width(RingCheck good, RingCheck failed) {
    SuspectWindow window =
        SuspectWindow.of(good, failed, NOISE, BoreLog.EMPTY, OptionalInt.empty());
    return window.most().orElseThrow() - window.least().orElseThrow();
  }

  @Test
  void theLikelyErrorStepsWhereSomethingHappenedToTheGauge() {
    BoreLog log = BoreLog.EMPTY;
    for (int i = 0; i < 4; i++) {
      log = log.with(AttributionTest.bore("a", 2, false));
    }
    SuspectWindow window =
        SuspectWindow.of(check("A", 0, 0), check("A", 0, 6), NOISE, log, OptionalInt.of(2));
    assertThat(window.listed().stream().map(s -> s.verdict().orElseThrow()).toList())
        .containsExactly(Verdict.WITHIN, Verdict.WITHIN, Verdict.UNDERSIZE, Verdict.UNDERSIZE);
    SuspectWindow drifted =
        SuspectWindow.of(check("A", 0, 0), check("A", 0, 6), NOISE, log, OptionalInt.empty());
    assertThat(drifted.listed().get(0).likely().orElseThrow())
        .isEqualTo(new Length(62_002_000_000L - 1_200_000));
  }

  @Test
  void aCheckPassesUpToItsLimitExactly() {
    Length limit = new Length(2_000_000);
    assertThat(RingCheck.passes(readings(2, 2, 2), R62, limit)).isTrue();
    assertThat(RingCheck.passes(readings(-2, -2, -2), R62, limit)).isTrue();
    assertThat(RingCheck.passes(readings(2, 2, 3), R62, limit)).isFalse();
    List<Length> more = new ArrayList<>(readings(2, 2));
    more.add(R62.plus(new Length(2_000_001)));
    assertThat(RingCheck.passes(more, R62, limit)).isFalse();
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new RingCheck(1, Instant.EPOCH, "A", R62, 0, List.of(), true));
  }

  /** A ring that was 3 um larger than certified: every bore was 3 um larger than read. */
  @Test
  void aRecalledRingJudgesItsBoresAgain() {
    List<LoggedBore> bores = new ArrayList<>();
    for (long um : new long[] {-4, -3, -1, 0, 27, 28, 31}) {
      bores.add(AttributionTest.bore("a", um, false));
    }
    List<SuspectWindow.Suspect> changed =
        RingRecall.judge(bores, R62, R62.plus(new Length(3_000_000)));
    assertThat(
            changed.stream()
                .map(s -> s.bore().part() + " " + s.verdict().orElseThrow().key())
                .toList())
        .containsExactly("-3 within", "-1 within", "28 oversize");
    assertThat(changed).allMatch(SuspectWindow.Suspect::likelyChanged);
    assertThat(RingRecall.judge(bores, R62, R62)).isEmpty();
  }

  /** sqrt(U1^2 + U2^2 + 8 s^2/n) = sqrt(0.8^2 + 0.8^2 + 8 x 0.4433/3) = 1.5692 um, by hand. */
  @Test
  void twoRingsAgreeWithinTheirCertificatesAndTheNoise() {
    RingCheck one = check("A", 400_000, 1);
    RingExchange fits = RingExchange.of(one, check("B", 400_000, 2), NOISE);
    assertThat(fits.allowed() / 1e6).isCloseTo(1.5692, within(0.0001));
    assertThat(fits.agrees()).isTrue();
    assertThat(RingExchange.of(one, check("B", 400_000, 3), NOISE).agrees()).isFalse();
    assertThat(RingExchange.of(one, check("B", 400_000, -1), NOISE).agrees()).isFalse();
    RingCheck two = new RingCheck(1, Instant.EPOCH, "B", R62, 0, readings(1, 1), true);
    assertThatIllegalArgumentException().isThrownBy(() -> RingExchange.of(one, two, NOISE));
  }

  @Test
  void betweenTwoRingsTheErrorIsOnTheLineThroughBoth() {
    RingCheck small = check("A", 0, 1);
    Length size = R62.plus(new Length(1_000_000_000L));
    RingCheck large =
        new RingCheck(
            2, Instant.EPOCH, "B", size, 0, List.of(size.plus(new Length(3_000_000))), true);
    assertThat(RingExchange.errorAt(small, large, 62e9)).isEqualTo(1e6);
    assertThat(RingExchange.errorAt(small, large, 62.5e9)).isEqualTo(2e6);
    assertThat(RingExchange.errorAt(small, large, 63e9)).isEqualTo(3e6);
    assertThatIllegalArgumentException().isThrownBy(() -> RingExchange.errorAt(small, small, 62e9));
  }

  @Test
  void theChecksAreAStreamWithBiasSpreadAndDrift() {
    List<RingCheck> checks = new ArrayList<>();
    for (int day = 0; day < 5; day++) {
      checks.add(
          new RingCheck(
              day,
              Instant.EPOCH.plus(Duration.ofDays(day)),
              "A",
              R62,
              0,
              readings(day - 1, day, day + 1),
              true));
    }
    RingStream stream = RingStream.of(checks);
    assertThat(stream.bias()).isCloseTo(2e6, within(1e-3));
    assertThat(stream.spread()).isCloseTo(1e6, within(1e-3));
    assertThat(stream.driftPerDay()).isCloseTo(1e6, within(1e-3));
    assertThat(RingStream.of(checks.subList(0, 1)).driftPerDay()).isNaN();
    assertThatIllegalArgumentException().isThrownBy(() -> RingStream.of(List.of()));
  }

  @Test
  void aLogKeepsTheNewestBoresAndSaysWhenOlderOnesAreGone() {
    BoreLog log = BoreLog.EMPTY;
    for (int i = 1; i <= BoreLog.LIMIT; i++) {
      log = log.with(AttributionTest.bore("a", i, false));
    }
    assertThat(log.size()).isEqualTo(BoreLog.LIMIT);
    assertThat(log.cut()).isFalse();
    log = log.with(AttributionTest.bore("a", 5_000, false));
    assertThat(log.size()).isEqualTo(BoreLog.LIMIT);
    assertThat(log.cut()).isTrue();
    assertThat(log.bores().get(0).part()).isEqualTo(2);
    BoreLog fewer = log.without(bore -> bore.part() == 5_000);
    assertThat(fewer.bores()).isEqualTo(log.bores().subList(0, BoreLog.LIMIT - 1));
    assertThat(fewer.cut()).isTrue();
  }

  private static RingCheck check(String ring, double uncertainty, long um) {
    return new RingCheck(
        1, Instant.EPOCH, ring, R62, uncertainty, readings(um, um, um), Math.abs(um) <= 2);
  }

  private static List<Length> readings(long... um) {
    return Arrays.stream(um).mapToObj(u -> R62.plus(new Length(u * 1_000_000))).toList();
  }
}

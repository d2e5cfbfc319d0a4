package org.borewarden.rules.bore;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigInteger;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SizeRule;
import org.junit.jupiter.api.Test;

class SpanTest {
  private static final long SEED = 4_711;

  /** The sum against n times the limit, in integers, is the judgement that cannot be wrong. */
  @Test
  void aMeanIsJudgedAsExactlyAsItsSum() {
    Random random = new Random(SEED);
    Limits limits = new Limits(Optional.of(new Length(1_000)), Optional.of(new Length(1_010)));
    Acceptance acceptance = Acceptance.of(limits, new DecisionRule.Simple());
    int[] met = new int[3];
    for (int i = 0; i < 20_000; i++) {
      int n = 1 + random.nextInt(7);
      List<Length> sizes =
          Stream.generate(() -> new Length(994 + random.nextInt(23))).limit(n).toList();
      BigInteger sum =
          sizes.stream()
              .map(s -> BigInteger.valueOf(s.picometres()))
              .reduce(BigInteger.ZERO, BigInteger::add);
      Verdict exact =
          sum.compareTo(BigInteger.valueOf(1_000L * n)) < 0
              ? Verdict.UNDERSIZE
              : sum.compareTo(BigInteger.valueOf(1_010L * n)) > 0
                  ? Verdict.OVERSIZE
                  : Verdict.WITHIN;
      Span mean = Span.of(SizeRule.SA, sizes.stream().map(Span::of).toList());
      assertThat(Places.judge(acceptance, mean).verdict())
          .as("seed %s, case %s, %s", SEED, i, sizes)
          .isEqualTo(exact);
      met[exact == Verdict.UNDERSIZE ? 0 : exact == Verdict.WITHIN ? 1 : 2]++;
    }
    assertThat(Arrays.stream(met).min().orElseThrow()).as("seed %s", SEED).isGreaterThan(100);
  }

  @Test
  void theMedianOfAnEvenNumberLiesBetweenTheMiddleTwo() {
    List<Span> four = Stream.of(1L, 9L, 4L, 6L).map(v -> Span.of(new Length(v))).toList();
    assertThat(Span.of(SizeRule.SM, four)).isEqualTo(Span.of(new Length(5)));
    assertThat(Span.of(SizeRule.SM, four.subList(0, 3))).isEqualTo(Span.of(new Length(4)));
  }

  /** Scenario S18, and its tie rule; um above 50 mm, limits +25/0. */
  @Test
  void theTightestPairCountsAndWithATieThePairFurtherOut() {
    assertThat(tightest(27, 24, 24)).isEqualTo("24.0 apart 0");
    assertThat(tightest(27, 26, 24)).isEqualTo("26.5 apart 1");
    assertThat(tightest(24, 26, 28)).isEqualTo("27.0 apart 2");
    assertThat(tightest(28, 24, 26)).isEqualTo("27.0 apart 2");
    assertThat(tightest(-3, -1, 1)).isEqualTo("-2.0 apart 2");
    // Both pairs inside: the one nearer to a limit is the one further out.
    assertThat(tightest(2, 4, 6)).isEqualTo("3.0 apart 2");
    assertThat(tightest(18, 20, 22)).isEqualTo("21.0 apart 2");
    assertThatIllegalArgumentException().isThrownBy(() -> tightest(1));
  }

  private static String tightest(long... um) {
    Limits limits = new Limits(Optional.of(of(0)), Optional.of(of(25)));
    Tightest pair = Tightest.of(Arrays.stream(um).mapToObj(SpanTest::of).toList(), limits);
    return (pair.mean().low().picometres() - 50_000_000_000L) / 1e6
        + " apart "
        + pair.apart().picometres() / 1_000_000;
  }

  private static Length of(long um) {
    return new Length(50_000_000_000L + um * 1_000_000);
  }
}

package org.borewarden.rules.judge;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.Random;
import org.borewarden.rules.measure.DecimalMark;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.measure.WrittenLength;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.stat.Quantiles;
import org.junit.jupiter.api.Test;

/** What must hold for any limits, rule and value; a failure prints its seed. */
class JudgePropertiesTest {
  private static final long SEED = 4711;

  /** One case. */
  private record Case(Limits limits, DecisionRule rule, Length value) {}

  private static Case any(Random random) {
    long lower = 20_000_000_000L + random.nextInt(1_000_000_000);
    long tolerance = 1_000_000L + random.nextInt(50_000_000);
    Length u = new Length(1 + random.nextInt(5_000_000));
    DecisionRule rule =
        switch (random.nextInt(3)) {
          case 0 -> new DecisionRule.Simple();
          case 1 -> DecisionRule.Guard.of(BigDecimal.valueOf(random.nextInt(20), 1), u);
          default -> new DecisionRule.Proven(0.51 + 0.48 * random.nextDouble(), u);
        };
    Limits limits =
        switch (random.nextInt(4)) {
          case 0 -> new Limits(Optional.of(new Length(lower)), Optional.empty());
          case 1 -> new Limits(Optional.empty(), Optional.of(new Length(lower + tolerance)));
          default ->
              new Limits(
                  Optional.of(new Length(lower)), Optional.of(new Length(lower + tolerance)));
        };
    long value = lower + (long) ((random.nextDouble() * 3 - 1) * tolerance);
    return new Case(limits, rule, new Length(value));
  }

  @Test
  void movingLimitsAndValueTogetherChangesNoVerdictAndNoProbability() {
    Random random = new Random(SEED);
    for (int i = 0; i < 3_000; i++) {
      Case c = any(random);
      Length by = new Length(random.nextInt());
      Judgement here = Judge.judge(c.limits(), c.rule(), c.value());
      Judgement there = Judge.judge(moved(c.limits(), by), c.rule(), c.value().plus(by));
      assertThat(there.verdict()).as("seed %s, %s", SEED, c).isEqualTo(here.verdict());
      assertThat(there.conformity()).as("seed %s, %s", SEED, c).isEqualTo(here.conformity());
      assertThat(there.inside()).isEqualTo(here.inside());
    }
  }

  /** Millimetres written as micrometres, and inches as microinches, are the same lengths. */
  @Test
  void theUnitInWhichLengthsAreWrittenChangesNothing() {
    Random random = new Random(SEED);
    for (int i = 0; i < 3_000; i++) {
      int digits = 20_000_000 + random.nextInt(100_000_000);
      assertThat(read(BigDecimal.valueOf(digits, 6), Unit.MILLIMETRE))
          .as("seed %s, %s", SEED, digits)
          .isEqualTo(read(BigDecimal.valueOf(digits, 3), Unit.MICROMETRE));
      assertThat(read(BigDecimal.valueOf(digits, 7), Unit.INCH))
          .as("seed %s, %s", SEED, digits)
          .isEqualTo(read(BigDecimal.valueOf(digits, 1), Unit.MICROINCH));
    }
  }

  @Test
  void theVerdictFollowsTheDefinitionOfItsProbability() {
    Random random = new Random(SEED);
    int proven = 0;
    while (proven < 3_000) {
      Case c = any(random);
      if (!(c.rule() instanceof DecisionRule.Proven rule)) {
        continue;
      }
      proven++;
      Judgement judged = Judge.judge(c.limits(), rule, c.value());
      double u = rule.uncertainty().standard().picometres();
      double low = tail(c.limits().lower(), c.value(), u, 1);
      double high = tail(c.limits().upper(), c.value(), u, -1);
      double p = rule.probability();
      double edge = 1e-9;
      if (Math.min(Math.abs(low - p), Math.min(Math.abs(high - p), Math.abs(1 - low - high - p)))
          < edge) {
        continue;
      }
      Verdict expected =
          low >= p
              ? Verdict.UNDERSIZE
              : high >= p
                  ? Verdict.OVERSIZE
                  : 1 - low - high >= p
                      ? Verdict.WITHIN
                      : low > high ? Verdict.UNDECIDED_LOW : Verdict.UNDECIDED_HIGH;
      assertThat(judged.verdict()).as("seed %s, %s", SEED, c).isEqualTo(expected);
    }
  }

  @Test
  void aLargerValueIsNeverJudgedSmaller() {
    Random random = new Random(SEED);
    for (int i = 0; i < 3_000; i++) {
      Case c = any(random);
      Length larger = c.value().plus(new Length(random.nextInt(20_000_000)));
      assertThat(rank(Judge.judge(c.limits(), c.rule(), larger).verdict()))
          .as("seed %s, %s, %s", SEED, c, larger)
          .isGreaterThanOrEqualTo(rank(Judge.judge(c.limits(), c.rule(), c.value()).verdict()));
    }
  }

  private static int rank(Verdict verdict) {
    return switch (verdict) {
      case UNDERSIZE -> 0;
      case UNDECIDED_LOW -> 1;
      case WITHIN -> 2;
      case UNDECIDED_HIGH -> 3;
      case OVERSIZE -> 4;
      case WITHHELD, CONFIRMING -> throw new AssertionError("a value alone is never " + verdict);
    };
  }

  private static double tail(Optional<Length> limit, Length value, double u, int side) {
    return limit
        .map(l -> side * (value.picometres() - l.picometres()) / u)
        .map(Quantiles::normalTail)
        .orElse(0.0);
  }

  private static Length read(BigDecimal number, Unit unit) {
    return LengthText.parse(number.toPlainString(), unit, DecimalMark.POINT)
            instanceof Parsed.Ok<WrittenLength> ok
        ? ok.value().length()
        : Length.ZERO;
  }

  private static Limits moved(Limits limits, Length by) {
    return new Limits(limits.lower().map(by::plus), limits.upper().map(by::plus));
  }
}

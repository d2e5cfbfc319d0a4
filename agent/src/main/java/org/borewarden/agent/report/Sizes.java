package org.borewarden.agent.report;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Optional;
import java.util.stream.Stream;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Limits;

/** Prints sizes: exact, with the digits of the reading. */
final class Sizes {
  /** Enough for each whole number of picometres in mm; a metric limit in inches may have no end. */
  private static final int MOST_DECIMALS = 9;

  private final Wanted wanted;

  Sizes(Wanted wanted) {
    this.wanted = wanted;
  }

  Unit unit(LifeBore bore) {
    return wanted.unitOf(bore.bore().unit());
  }

  /**
   * A bore's size with the digits of its reading, or more where it is not within and would print
   * like a limit.
   */
  BigDecimal size(LifeBore bore) {
    return in(bore.bore().value(), unit(bore), decimals(bore));
  }

  BigDecimal deviation(LifeBore bore) {
    return in(bore.deviation(), unit(bore), decimals(bore));
  }

  int decimals(LifeBore bore) {
    Unit unit = unit(bore);
    int decimals = LengthText.decimalsIn(bore.bore().unit(), bore.bore().decimals(), unit);
    if (bore.verdict() == Verdict.WITHIN) {
      return decimals;
    }
    Limits limits = bore.judgement().limits();
    Length value = bore.bore().value();
    return Stream.concat(limits.lower().stream(), limits.upper().stream())
        .mapToInt(limit -> LengthText.printApart(value, limit, unit, decimals).decimals())
        .max()
        .orElse(decimals);
  }

  Optional<BigDecimal> lower(LifeBore bore) {
    return bore.judgement().limits().lower().map(l -> whole(l, unit(bore), decimals(bore)));
  }

  Optional<BigDecimal> upper(LifeBore bore) {
    return bore.judgement().limits().upper().map(l -> whole(l, unit(bore), decimals(bore)));
  }

  static BigDecimal in(Length length, Unit unit, int decimals) {
    return BigDecimal.valueOf(length.picometres())
        .divide(BigDecimal.valueOf(unit.picometres()), decimals, RoundingMode.HALF_EVEN);
  }

  /** A length with as many digits as it needs, and at least so many. */
  static BigDecimal whole(Length length, Unit unit, int atLeast) {
    BigDecimal exact = in(length, unit, MOST_DECIMALS).stripTrailingZeros();
    return exact.scale() < atLeast ? exact.setScale(atLeast, RoundingMode.UNNECESSARY) : exact;
  }

  /** A length beside no reading, with as many digits as drawings show at least. */
  String shown(Length length, Unit gauges) {
    Unit unit = wanted.unitOf(gauges);
    int least = unit == Unit.INCH ? 4 : unit == Unit.MILLIMETRE ? 3 : 0;
    return number(whole(length, unit, least)) + " " + unit.symbol();
  }

  /** A mean of lengths, or a bound of one: no length that was read; to a tenth of a small unit. */
  String mean(double picometres) {
    boolean inches = wanted.unit().filter(u -> u == Unit.INCH || u == Unit.MICROINCH).isPresent();
    Unit small = inches ? Unit.MICROINCH : Unit.MICROMETRE;
    BigDecimal value =
        new BigDecimal(picometres)
            .divide(BigDecimal.valueOf(small.picometres()), 1, RoundingMode.HALF_EVEN);
    return signed(value) + " " + small.symbol();
  }

  String signed(BigDecimal value) {
    return (value.signum() > 0 ? "+" : "") + number(value);
  }

  String number(BigDecimal value) {
    String digits = value.toPlainString();
    return wanted.comma() ? digits.replace('.', ',') : digits;
  }

  /** A statistic, two decimals. */
  String statistic(double value) {
    return number(new BigDecimal(value).setScale(2, RoundingMode.HALF_EVEN));
  }

  /** A probability in percent: never rounded up to certainty, nor down to none. */
  String percent(double share) {
    if (share > 0.999) {
      return "> " + number(new BigDecimal("99.9")) + " %";
    }
    if (share < 0.001) {
      return "< " + number(new BigDecimal("0.1")) + " %";
    }
    return number(new BigDecimal(share * 100).setScale(1, RoundingMode.HALF_EVEN)) + " %";
  }
}

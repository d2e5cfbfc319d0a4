package org.borewarden.rules.measure;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.util.Arrays;
import java.util.stream.Collectors;

/**
 * Lengths as people and gauges write them. Reading is exact: a text that is no whole number of
 * picometres is refused, never rounded. Printing rounds only where the decimals asked for cannot
 * show the length, and then half to even.
 */
public final class LengthText {
  /** The longest length that a text may say, 100 m either way; far beyond any bore. */
  public static final Length MAX = new Length(100_000_000_000_000L);

  /** The most decimals that can be asked of a print. */
  public static final int MAX_PRINT_DECIMALS = 18;

  private LengthText() {}

  /**
   * Reads a number with its unit, such as {@code 62.030 mm}, {@code +0.030 mm} or {@code 30 um}.
   *
   * @param text the length, without blanks around it; blanks before the unit are free
   * @return the length, or where the text does not fit
   */
  public static Parsed<WrittenLength> parse(String text) {
    int end = numberEnd(text);
    if (end == 0) {
      return Decimal.parse(text, DecimalMark.POINT) instanceof Parsed.Refused<Decimal> refused
          ? new Parsed.Refused<>(refused.why(), refused.offset())
          : new Parsed.Refused<>("expected a digit, found the end", 0);
    }
    int unitStart = end;
    while (unitStart < text.length() && text.charAt(unitStart) == ' ') {
      unitStart++;
    }
    Parsed<Decimal> number = Decimal.parse(text.substring(0, end), DecimalMark.POINT);
    var unit = Unit.ofSymbol(text.substring(unitStart));
    return unit.isPresent() || number instanceof Parsed.Refused<Decimal>
        ? inUnit(number, unit.orElse(Unit.MILLIMETRE))
        : new Parsed.Refused<>(expectedUnit(text.substring(unitStart)), unitStart);
  }

  /**
   * Reads a bare number whose unit is known, as the value of a gauge's frame.
   *
   * @param text the number and nothing else
   * @param unit the unit it counts
   * @param mark the decimal mark it uses
   * @return the length, or where the text does not fit
   */
  public static Parsed<WrittenLength> parse(String text, Unit unit, DecimalMark mark) {
    return inUnit(Decimal.parse(text, mark), unit);
  }

  private static Parsed<WrittenLength> inUnit(Parsed<Decimal> number, Unit unit) {
    if (number instanceof Parsed.Refused<Decimal> refused) {
      return new Parsed.Refused<>(refused.why(), refused.offset());
    }
    Decimal decimal = ((Parsed.Ok<Decimal>) number).value();
    // unscaled * unit / 10^scale with the common factors taken out, so that nothing can overflow.
    long power = powerOfTen(decimal.scale());
    long common =
        BigInteger.valueOf(unit.picometres()).gcd(BigInteger.valueOf(power)).longValueExact();
    long perStep = unit.picometres() / common;
    long stepsPerUnscaled = power / common;
    if (decimal.unscaled() % stepsPerUnscaled != 0) {
      return new Parsed.Refused<>(
          "expected a whole number of picometres, found " + exactPicometres(decimal, unit), 0);
    }
    long steps = decimal.unscaled() / stepsPerUnscaled;
    if (Math.abs(steps) > MAX.picometres() / perStep) {
      return new Parsed.Refused<>(
          "expected a length of at most 100 m either way, found " + decimal.written(), 0);
    }
    return new Parsed.Ok<>(new WrittenLength(new Length(steps * perStep), unit, decimal.scale()));
  }

  /**
   * Prints a length without its unit.
   *
   * @param length what to print
   * @param unit the unit to print it in
   * @param decimals the decimals, those of the reading; 0 to {@value #MAX_PRINT_DECIMALS}
   * @return digits with a point, a minus sign in front where it is negative
   * @throws IllegalArgumentException when decimals is out of its range
   */
  public static String print(Length length, Unit unit, int decimals) {
    if (decimals < 0 || decimals > MAX_PRINT_DECIMALS) {
      throw new IllegalArgumentException(
          "expected 0 to " + MAX_PRINT_DECIMALS + " decimals: " + decimals);
    }
    return BigDecimal.valueOf(length.picometres())
        .divide(BigDecimal.valueOf(unit.picometres()), decimals, RoundingMode.HALF_EVEN)
        .toPlainString();
  }

  /**
   * Prints a deviation: a length with a sign in front unless it prints as zero.
   *
   * @param length what to print
   * @param unit the unit to print it in
   * @param decimals the decimals
   * @return such as {@code +0.030}
   */
  public static String printSigned(Length length, Unit unit, int decimals) {
    String digits = print(length, unit, decimals);
    boolean zero = digits.chars().allMatch(c -> c == '0' || c == '.');
    return zero || digits.startsWith("-") ? digits : "+" + digits;
  }

  /**
   * Prints a value beside a limit that it is not within: where both would print alike, digits are
   * added until they differ (22.2580 > 22.2575, not 22.258 > 22.258).
   *
   * @param value the value
   * @param limit the limit it is compared with
   * @param unit the unit to print both in
   * @param decimals the decimals to begin with, those of the reading
   * @return both with the same decimals; alike only where value and limit are equal
   */
  public static PrintedPair printApart(Length value, Length limit, Unit unit, int decimals) {
    int used = decimals;
    String left = print(value, unit, used);
    String right = print(limit, unit, used);
    while (left.equals(right) && !value.equals(limit) && used < MAX_PRINT_DECIMALS) {
      used++;
      left = print(value, unit, used);
      right = print(limit, unit, used);
    }
    return new PrintedPair(left, right, used);
  }

  /**
   * The decimals in which a reading is shown in another unit: the fewest whose step is not coarser
   * than the reading's own, so 0.0001 in is shown to 0.001 mm and 0.001 mm to 0.00001 in.
   *
   * @param from the unit of the reading
   * @param decimals the decimals of the reading, 0 to {@value Decimal#MAX_DECIMALS}
   * @param to the unit to show it in
   * @return the decimals to print with
   */
  public static int decimalsIn(Unit from, int decimals, Unit to) {
    if (from == to) {
      return decimals;
    }
    BigDecimal step = BigDecimal.valueOf(from.picometres()).movePointLeft(decimals);
    int shown = 0;
    while (BigDecimal.valueOf(to.picometres()).movePointLeft(shown).compareTo(step) > 0) {
      shown++;
    }
    return shown;
  }

  private static int numberEnd(String text) {
    int end = 0;
    while (end < text.length() && belongsToNumber(text.charAt(end))) {
      end++;
    }
    return end;
  }

  private static boolean belongsToNumber(char c) {
    return Decimal.isDigit(c) || Decimal.isSign(c) || c == '.' || c == ',';
  }

  private static String expectedUnit(String found) {
    String units = Arrays.stream(Unit.values()).map(Unit::symbol).collect(Collectors.joining(", "));
    return "expected a unit ("
        + units
        + "), found "
        + (found.isEmpty() ? "the end" : Decimal.quoted(found.charAt(0)));
  }

  private static long powerOfTen(int exponent) {
    long power = 1;
    for (int i = 0; i < exponent; i++) {
      power *= 10;
    }
    return power;
  }

  private static String exactPicometres(Decimal decimal, Unit unit) {
    return BigDecimal.valueOf(decimal.unscaled(), decimal.scale())
            .multiply(BigDecimal.valueOf(unit.picometres()))
            .stripTrailingZeros()
            .toPlainString()
        + " pm";
  }
}

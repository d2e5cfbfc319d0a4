package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * Lengths as files write them: a decimal number with a point, and a unit. Reading is exact;
 * printing shows every digit.
 */
public final class LengthText {
  private static final Pattern WRITTEN =
      Pattern.compile("[+-]?([0-9]{1,6}(?:\\.[0-9]{1,12})?) ?(mm|um|\u00b5m|\u03bcm|in|uin)");

  /**
   * Enough for every length that can be written: 1e-9 mm is a picometre, and a whole number of
   * picometres that ends in inches is a multiple of 5e-9 in.
   */
  private static final int MOST_DECIMALS = 9;

  private LengthText() {}

  /**
   * A length that was written with its unit.
   *
   * @param length the length, exact
   * @param unit the unit it was written in; empty for a zero without one
   */
  record Written(Length length, Optional<Unit> unit) {
    /** Whether both were written in metric units, or both in inches. */
    boolean inTheSystemOf(Written other) {
      return unit.isEmpty()
          || other.unit.isEmpty()
          || isInch(unit.get()) == isInch(other.unit.get());
    }
  }

  static boolean isInch(Unit unit) {
    return switch (unit) {
      case INCH, MICROINCH -> true;
      case MILLIMETRE, MICROMETRE -> false;
    };
  }

  /** Reads a length; empty when it has no unit, a decimal comma, or is no whole picometre. */
  static Optional<Written> parse(String text) {
    Matcher matcher = WRITTEN.matcher(text);
    if (!matcher.matches()) {
      return Optional.empty();
    }
    Unit unit = unit(matcher.group(2));
    BigDecimal picometres =
        new BigDecimal(matcher.group(1)).multiply(BigDecimal.valueOf(unit.picometres()));
    if (picometres.stripTrailingZeros().scale() > 0) {
      return Optional.empty();
    }
    long value = picometres.longValueExact();
    return Optional.of(
        new Written(new Length(text.startsWith("-") ? -value : value), Optional.of(unit)));
  }

  private static Unit unit(String symbol) {
    return switch (symbol) {
      case "mm" -> Unit.MILLIMETRE;
      case "in" -> Unit.INCH;
      case "uin" -> Unit.MICROINCH;
      default -> Unit.MICROMETRE;
    };
  }

  /**
   * Prints a size, with every digit it has. A metric length shown in inches, which may have no end,
   * is rounded to nine decimals.
   *
   * @param length the size
   * @param unit the unit to print it in
   * @return for example {@code 62.030 mm}
   */
  public static String size(Length length, Unit unit) {
    BigDecimal value =
        new BigDecimal(length.picometres())
            .divide(new BigDecimal(unit.picometres()), MOST_DECIMALS, RoundingMode.HALF_EVEN)
            .stripTrailingZeros();
    int decimals = Math.max(decimals(unit), value.scale());
    return value.setScale(decimals).toPlainString() + " " + unit.symbol();
  }

  /**
   * Prints a deviation, with its sign and every digit it has.
   *
   * @param length the deviation
   * @param unit the unit to print it in
   * @return for example {@code +0.030 mm}
   */
  public static String deviation(Length length, Unit unit) {
    if (length.picometres() == 0) {
      return "0 " + unit.symbol();
    }
    return (length.picometres() > 0 ? "+" : "") + size(length, unit);
  }

  /** The decimals that drawings usually show. */
  private static int decimals(Unit unit) {
    return switch (unit) {
      case MILLIMETRE -> 3;
      case INCH -> 4;
      case MICROMETRE, MICROINCH -> 0;
    };
  }
}

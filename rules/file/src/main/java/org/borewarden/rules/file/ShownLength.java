package org.borewarden.rules.file;

import java.math.BigDecimal;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Unit;

/** Lengths as messages and {@code check} show them: with their unit and every digit they have. */
public final class ShownLength {
  /**
   * Enough for every length that can be written: 1e-9 mm is a picometre, and a whole number of
   * picometres that ends in inches is a multiple of 5e-9 in. A metric length shown in inches may
   * have no end and is rounded here.
   */
  private static final int MOST_DECIMALS = 9;

  private ShownLength() {}

  /**
   * Shows a size.
   *
   * @param length the size
   * @param unit the unit to show it in
   * @return for example {@code 62.030 mm}
   */
  public static String size(Length length, Unit unit) {
    return LengthText.print(length, unit, decimals(length, unit)) + " " + unit.symbol();
  }

  /**
   * Shows a deviation, with its sign.
   *
   * @param length the deviation
   * @param unit the unit to show it in
   * @return for example {@code +0.030 mm}
   */
  public static String deviation(Length length, Unit unit) {
    int decimals = length.equals(Length.ZERO) ? 0 : decimals(length, unit);
    return LengthText.printSigned(length, unit, decimals) + " " + unit.symbol();
  }

  private static int decimals(Length length, Unit unit) {
    String digits = LengthText.print(length, unit, MOST_DECIMALS);
    return Math.max(usual(unit), new BigDecimal(digits).stripTrailingZeros().scale());
  }

  /** The decimals that drawings show at least. */
  private static int usual(Unit unit) {
    return switch (unit) {
      case MILLIMETRE -> 3;
      case INCH -> 4;
      case MICROMETRE, MICROINCH -> 0;
    };
  }
}

package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/** Prints exact lengths as JSON numbers with the digits of the reading. */
final class Size {
  private Size() {}

  /**
   * A length in a unit.
   *
   * @param length the length
   * @param unit the unit
   * @param decimals the digits behind the point
   * @return a number with exactly so many decimals; half to even where they cannot show it whole
   */
  static BigDecimal in(Length length, Unit unit, int decimals) {
    return BigDecimal.valueOf(length.picometres())
        .divide(BigDecimal.valueOf(unit.picometres()), decimals, RoundingMode.HALF_EVEN);
  }

  /**
   * A length in a unit with as many digits as it needs, up to the picometre.
   *
   * @param length the length
   * @param unit the unit
   * @param atLeast the least digits behind the point
   * @return a number
   */
  static BigDecimal whole(Length length, Unit unit, int atLeast) {
    BigDecimal exact =
        BigDecimal.valueOf(length.picometres())
            .divide(BigDecimal.valueOf(unit.picometres()), 12, RoundingMode.HALF_EVEN)
            .stripTrailingZeros();
    return exact.scale() < atLeast ? exact.setScale(atLeast) : exact;
  }
}

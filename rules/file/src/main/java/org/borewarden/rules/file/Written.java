package org.borewarden.rules.file;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.measure.WrittenLength;

/**
 * A length that a rules file states.
 *
 * @param length the length, exact
 * @param unit the unit it was written in; empty for a zero without one
 */
record Written(Length length, Optional<Unit> unit) {
  /** Both characters that look like the sign of micro (U+00B5 and U+03BC) mean {@code um}. */
  static Optional<Written> parse(String text) {
    Parsed<WrittenLength> parsed =
        LengthText.parse(text.replace("\u00b5m", "um").replace("\u03bcm", "um"));
    return parsed instanceof Parsed.Ok<WrittenLength> ok
        ? Optional.of(new Written(ok.value().length(), Optional.of(ok.value().unit())))
        : Optional.empty();
  }

  /** Whether both were written in metric units, or both in inches. */
  boolean inTheSystemOf(Written other) {
    return unit.isEmpty() || other.unit.isEmpty() || isInch(unit.get()) == isInch(other.unit.get());
  }

  /** The units that this and what stands beside it may be written in. */
  String system() {
    return isInch(unit.orElse(Unit.MILLIMETRE)) ? "in or uin" : "mm or um";
  }

  private static boolean isInch(Unit unit) {
    return switch (unit) {
      case INCH, MICROINCH -> true;
      case MILLIMETRE, MICROMETRE -> false;
    };
  }
}

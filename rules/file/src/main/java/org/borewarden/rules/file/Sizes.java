package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.Optional;
import org.borewarden.rules.file.LengthText.Written;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/** The readers of lengths. */
public final class Sizes {
  private Sizes() {}

  /** A size: positive, with its unit. */
  static Reader<Written> size(Length least, Length most) {
    String range =
        LengthText.size(least, Unit.MILLIMETRE) + " to " + LengthText.size(most, Unit.MILLIMETRE);
    return Reader.scalar(
        "a size with its unit from " + range + ", such as \"62.030 mm\"",
        text ->
            unsigned(text).filter(w -> !w.length().isBelow(least) && !w.length().isAbove(most)));
  }

  /** A small positive length, such as an uncertainty. */
  static Reader<Length> positive(Length most, String example) {
    return Reader.scalar(
        "a length with its unit above 0 and up to "
            + LengthText.size(most, Unit.MILLIMETRE)
            + ", such as \""
            + example
            + "\"",
        text ->
            unsigned(text)
                .map(Written::length)
                .filter(l -> l.isAbove(Length.ZERO) && !l.isAbove(most)));
  }

  /** A deviation: with its sign and unit, or zero. */
  static Reader<Written> deviation() {
    return Reader.scalar(
        "a deviation with its sign and unit, such as \"+0.030 mm\", or 0",
        text -> {
          if ("0".equals(text)) {
            return Optional.of(new Written(Length.ZERO, Optional.empty()));
          }
          boolean signed = text.startsWith("+") || text.startsWith("-");
          return LengthText.parse(text).filter(w -> signed || w.length().equals(Length.ZERO));
        });
  }

  /**
   * A unit of length.
   *
   * @return the reader of mm, um, in and uin
   */
  public static Reader<Unit> unit() {
    return Scalars.word(Arrays.asList(Unit.values()), Unit::symbol);
  }

  private static Optional<Written> unsigned(String text) {
    boolean signed = text.startsWith("+") || text.startsWith("-");
    return signed ? Optional.empty() : LengthText.parse(text);
  }
}

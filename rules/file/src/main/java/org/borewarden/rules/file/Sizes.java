package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.HoleSize;

/** The readers of lengths. */
public final class Sizes {
  /** The longest nominal size with a hole class, characters. */
  static final int LONGEST_HOLE = 30;

  private Sizes() {}

  /** A size: positive, with its unit. */
  static Reader<Written> size(Length least, Length most) {
    String range =
        ShownLength.size(least, Unit.MILLIMETRE) + " to " + ShownLength.size(most, Unit.MILLIMETRE);
    return Reader.scalar(
        "a size with its unit from " + range + ", such as \"62.030 mm\"",
        text ->
            unsigned(text).filter(w -> !w.length().isBelow(least) && !w.length().isAbove(most)));
  }

  /** A nominal size in millimetres and a hole class of ISO 286. */
  static Reader<HoleSize> hole() {
    String expects = "a nominal size in mm and a hole class, such as \"62 H7\"";
    return Reader.of(
        expects,
        item -> {
          if (item.text().filter(text -> text.length() <= LONGEST_HOLE).isEmpty()) {
            return item.expected(expects);
          }
          Parsed<HoleSize> parsed = HoleSize.parse(item.text().get());
          if (parsed instanceof Parsed.Refused<HoleSize> refused) {
            String found = ", found " + item.found() + " (" + refused.why() + ")";
            return item.refuse("expected " + expects + found);
          }
          return Optional.of(((Parsed.Ok<HoleSize>) parsed).value());
        });
  }

  /**
   * What a gauge may show: any length, with its unit.
   *
   * @return the reader
   */
  public static Reader<Length> shown() {
    return Reader.scalar(
        "a length with its unit, such as \"61.900 mm\" or \"-0.100 mm\"",
        text -> Written.parse(text).map(Written::length));
  }

  /**
   * A small positive length, such as an uncertainty.
   *
   * @param most the most
   * @param example one, as a person would write it
   * @return the reader
   */
  public static Reader<Length> positive(Length most, String example) {
    return Reader.scalar(
        "a length with its unit above 0 and up to "
            + ShownLength.size(most, Unit.MILLIMETRE)
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
          return Written.parse(text).filter(w -> signed || w.length().equals(Length.ZERO));
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
    return signed ? Optional.empty() : Written.parse(text);
  }
}

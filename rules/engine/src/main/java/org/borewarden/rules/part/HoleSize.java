package org.borewarden.rules.part;

import java.util.Arrays;
import org.borewarden.rules.measure.DecimalMark;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.measure.WrittenLength;

/**
 * A toleranced hole as a drawing writes it, such as {@code 62 H7}.
 *
 * @param nominal the nominal size
 * @param hole the tolerance class
 * @param limits the limits of size that follow
 */
public record HoleSize(Length nominal, HoleClass hole, Limits limits) {

  /**
   * Reads a nominal size in millimetres and a hole class.
   *
   * @param text such as {@code 62 H7}; blanks between are free
   * @return the hole, or where the text does not fit
   */
  public static Parsed<HoleSize> parse(String text) {
    int letter = firstLetter(text);
    String number = text.substring(0, letter).stripTrailing();
    Parsed<WrittenLength> nominal = LengthText.parse(number, Unit.MILLIMETRE, DecimalMark.POINT);
    if (nominal instanceof Parsed.Refused<WrittenLength> refused) {
      return new Parsed.Refused<>(refused.why(), refused.offset());
    }
    String rest = text.substring(letter);
    if (Arrays.stream(Unit.values()).anyMatch(unit -> rest.startsWith(unit.symbol() + " "))) {
      return new Parsed.Refused<>(
          "a class of ISO 286 goes with a size in mm, which is written without its unit", letter);
    }
    Parsed<HoleClass> hole = HoleClass.parse(rest);
    if (hole instanceof Parsed.Refused<HoleClass> refused) {
      return new Parsed.Refused<>(refused.why(), letter);
    }
    return of(
        ((Parsed.Ok<WrittenLength>) nominal).value().length(),
        ((Parsed.Ok<HoleClass>) hole).value());
  }

  /**
   * A hole of a nominal size and a class.
   *
   * @param nominal the nominal size
   * @param hole the class
   * @return the hole, or why the table does not reach
   */
  public static Parsed<HoleSize> of(Length nominal, HoleClass hole) {
    Parsed<Limits> limits = hole.limits(nominal);
    return limits instanceof Parsed.Ok<Limits> ok
        ? new Parsed.Ok<>(new HoleSize(nominal, hole, ok.value()))
        : new Parsed.Refused<>(((Parsed.Refused<Limits>) limits).why(), 0);
  }

  private static int firstLetter(String text) {
    int at = 0;
    while (at < text.length() && !Character.isLetter(text.charAt(at))) {
      at++;
    }
    return at;
  }
}

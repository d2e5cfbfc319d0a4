package org.borewarden.agent.decode;

import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.measure.Unit;

/**
 * The unit words that gauges write: of the trade and of UCUM, all in small or all in capital
 * letters. Mixed letters are not taken, since {@code Mm} and {@code mm} differ by nine zeros.
 */
final class UnitWords {
  static final String KNOWN = "mm, um, in, inch, \" or uin";

  private static final Map<String, Unit> WORDS =
      Map.ofEntries(
          Map.entry("mm", Unit.MILLIMETRE),
          Map.entry("um", Unit.MICROMETRE),
          // The micro sign as one byte of ISO 8859-1.
          Map.entry("\u00b5m", Unit.MICROMETRE),
          Map.entry("micron", Unit.MICROMETRE),
          Map.entry("in", Unit.INCH),
          Map.entry("inch", Unit.INCH),
          Map.entry("\"", Unit.INCH),
          Map.entry("[in_i]", Unit.INCH),
          Map.entry("uin", Unit.MICROINCH),
          Map.entry("u[in_i]", Unit.MICROINCH));

  private UnitWords() {}

  static Optional<Unit> unit(String word) {
    String small = word.toLowerCase(Locale.ROOT);
    boolean oneCase = word.equals(small) || word.equals(word.toUpperCase(Locale.ROOT));
    return oneCase ? Optional.ofNullable(WORDS.get(small)) : Optional.empty();
  }
}

package org.borewarden.agent.decode;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * The value as a gauge wrote it: an optional sign, digits, and optionally a decimal point with at
 * least one digit behind it. Spaces are taken before the sign, after it, and at the end, as gauges
 * pad; {@code .8763} is taken, as the inch trade writes it; {@code 62.} is not, since digits that
 * were lost would look the same.
 */
final class ValueText {
  private static final int MOST_DECIMALS = 9;
  private static final BigDecimal FARTHEST_PM = new BigDecimal(100_000_000_000_000L);

  private final String text;
  private final char point;
  private int at;

  private ValueText(String text, char point) {
    this.text = text;
    this.point = point;
  }

  /** An exact length with the decimals that were written, or what is wrong and where. */
  sealed interface Parsed {
    /**
     * The value.
     *
     * @param length exact
     * @param decimals as written, 0 to 9
     */
    record Value(Length length, int decimals) implements Parsed {}

    /**
     * No value.
     *
     * @param why the reason
     * @param detail what was expected and found
     * @param offset the character of the text at which it went wrong
     */
    record Problem(Refusal why, String detail, int offset) implements Parsed {}
  }

  static Parsed parse(String text, Unit unit, boolean decimalComma) {
    return parse(text, Optional.empty(), unit, decimalComma, OptionalInt.empty());
  }

  /**
   * A value whose sign may stand apart, behind it for example, and whose decimal sign may be left
   * out.
   */
  static Parsed parse(
      String text, Optional<String> sign, Unit unit, boolean decimalComma, OptionalInt implied) {
    return new ValueText(text, decimalComma ? ',' : '.').parse(sign, unit, implied);
  }

  private Parsed parse(Optional<String> sign, Unit unit, OptionalInt implied) {
    StringBuilder number = new StringBuilder(text.length());
    if (sign.isPresent()) {
      if (!sign.get().equals("+") && !sign.get().equals("-")) {
        return bad("expected the sign + or -, found '" + Excerpt.of(sign.get(), 4) + "'");
      }
      number.append(sign.get());
      skipSpaces();
    } else {
      sign(number);
    }
    int whole = digits(number);
    int decimals = 0;
    if (is(point)) {
      at++;
      number.append('.');
      decimals = digits(number);
      if (decimals == 0) {
        return expected("a digit behind the decimal sign");
      }
    }
    if (whole + decimals == 0) {
      return expected("a digit");
    }
    skipSpaces();
    if (at < text.length()) {
      return expected(decimals > 0 ? "a digit" : "a digit or '" + point + "'");
    }
    if (decimals == 0 && implied.isPresent()) {
      BigDecimal digits = new BigDecimal(number.toString());
      return length(digits.movePointLeft(implied.getAsInt()), implied.getAsInt(), unit);
    }
    return decimals > MOST_DECIMALS
        ? bad("expected at most " + MOST_DECIMALS + " decimals, found " + decimals)
        : length(new BigDecimal(number.toString()), decimals, unit);
  }

  private Parsed length(BigDecimal value, int decimals, Unit unit) {
    BigDecimal picometres = value.multiply(BigDecimal.valueOf(unit.picometres()));
    if (picometres.abs().compareTo(FARTHEST_PM) > 0) {
      return new Parsed.Problem(
          Refusal.OUT_OF_RANGE, "expected at most 100 m either way, found " + shown(), 0);
    }
    if (picometres.remainder(BigDecimal.ONE).signum() != 0) {
      return bad("expected a whole number of picometres, found " + shown() + " " + unit.symbol());
    }
    return new Parsed.Value(new Length(picometres.longValueExact()), decimals);
  }

  private void sign(StringBuilder number) {
    skipSpaces();
    if (is('-') || is('+')) {
      number.append(text.charAt(at++));
    }
    skipSpaces();
  }

  private int digits(StringBuilder number) {
    int from = at;
    while (at < text.length() && text.charAt(at) >= '0' && text.charAt(at) <= '9') {
      number.append(text.charAt(at++));
    }
    return at - from;
  }

  private void skipSpaces() {
    while (is(' ')) {
      at++;
    }
  }

  private boolean is(char c) {
    return at < text.length() && text.charAt(at) == c;
  }

  private Parsed expected(String what) {
    String found =
        at < text.length() ? "'" + Excerpt.of(text.substring(at, at + 1), 4) + "'" : "the end";
    return new Parsed.Problem(Refusal.BAD_NUMBER, "expected " + what + ", found " + found, at);
  }

  private Parsed bad(String detail) {
    return new Parsed.Problem(Refusal.BAD_NUMBER, detail, 0);
  }

  private String shown() {
    return Excerpt.of(text, FrameDecoder.SHOWN);
  }
}

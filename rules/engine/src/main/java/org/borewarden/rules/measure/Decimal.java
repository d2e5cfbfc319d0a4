package org.borewarden.rules.measure;

/**
 * A decimal number exactly as it was written: {@code unscaled / 10^scale}.
 *
 * @param unscaled its digits as a whole number, with the sign
 * @param scale the decimals that were written, trailing zeros too, 0 to {@value #MAX_DECIMALS}
 * @param written the text it was read from
 */
public record Decimal(long unscaled, int scale, String written) {
  /** A text with more digits is refused; so many always fit a {@code long}. */
  public static final int MAX_DIGITS = 18;

  /** A text with more decimals is refused; so many millimetres are a picometre. */
  public static final int MAX_DECIMALS = 9;

  /**
   * Checks the scale.
   *
   * @throws IllegalArgumentException when the scale is out of its range
   */
  public Decimal {
    if (scale < 0 || scale > MAX_DECIMALS) {
      throw new IllegalArgumentException("expected 0 to " + MAX_DECIMALS + " decimals: " + scale);
    }
  }

  /**
   * Reads {@code [+|-]digits[mark digits]} in ASCII; {@code .8762}, as inches are often written, is
   * read too. Exponents, grouping, blanks and words such as NaN are refused where they stand.
   *
   * @param text the number and nothing else
   * @param mark the decimal mark that the writer uses
   * @return the number, or the first character that does not fit
   */
  public static Parsed<Decimal> parse(String text, DecimalMark mark) {
    int start = !text.isEmpty() && isSign(text.charAt(0)) ? 1 : 0;
    long unscaled = 0;
    int digits = 0;
    int scale = 0;
    boolean marked = false;
    for (int i = start; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == mark.character() && !marked) {
        marked = true;
        continue;
      }
      if (!isDigit(c)) {
        return new Parsed.Refused<>(expected(c, mark), i);
      }
      digits++;
      scale += marked ? 1 : 0;
      if (digits > MAX_DIGITS) {
        return new Parsed.Refused<>("expected at most " + MAX_DIGITS + " digits", i);
      }
      if (scale > MAX_DECIMALS) {
        return new Parsed.Refused<>("expected at most " + MAX_DECIMALS + " decimals", i);
      }
      unscaled = 10 * unscaled + (c - '0');
    }
    if (digits == 0 || (marked && scale == 0)) {
      return new Parsed.Refused<>("expected a digit, found the end", text.length());
    }
    boolean negative = text.charAt(0) == '-';
    return new Parsed.Ok<>(new Decimal(negative ? -unscaled : unscaled, scale, text));
  }

  static boolean isSign(char c) {
    return c == '+' || c == '-';
  }

  static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }

  private static String expected(char found, DecimalMark mark) {
    boolean otherMark = found == '.' || found == ',';
    return otherMark && found != mark.character()
        ? "expected '" + mark.character() + "' as the decimal mark, found " + quoted(found)
        : "expected a digit, found " + quoted(found);
  }

  /** Shows a character so that a log line stays one line. */
  static String quoted(char c) {
    return c >= ' ' && c <= '~'
        ? "'" + c + "'"
        : "'\\u" + Integer.toHexString(0x10000 | c).substring(1) + "'";
  }
}

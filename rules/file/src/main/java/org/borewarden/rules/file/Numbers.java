package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Reader;

/** The readers of numbers that are no lengths: factors, kelvins, coefficients, ranges. */
final class Numbers {
  private static final Pattern PLAIN = Pattern.compile("-?[0-9]{1,6}(?:\\.[0-9]{1,6})?");
  private static final Pattern KELVIN = Pattern.compile("([0-9]{1,3}(?:\\.[0-9]{1,3})?) ?K");
  private static final Pattern PPM = Pattern.compile("([0-9]{1,2}(?:\\.[0-9]{1,3})?) ?ppm/K");
  private static final Pattern RANGE =
      Pattern.compile("(-?[0-9]{1,3}(?:\\.[0-9])?) to (-?[0-9]{1,3}(?:\\.[0-9])?) ?degC");
  private static final BigDecimal COLDEST = new BigDecimal("-20");
  private static final BigDecimal WARMEST = new BigDecimal("60");

  private Numbers() {}

  /**
   * A range of temperature.
   *
   * @param from degrees Celsius
   * @param to degrees Celsius
   */
  record Range(double from, double to) {}

  /** A plain number in a range. */
  static Reader<BigDecimal> number(String least, String most, String example) {
    BigDecimal lowest = new BigDecimal(least);
    BigDecimal highest = new BigDecimal(most);
    return Reader.scalar(
        "a number from " + least + " to " + most + ", such as " + example,
        text ->
            Optional.of(text)
                .filter(t -> PLAIN.matcher(t).matches())
                .map(BigDecimal::new)
                .filter(n -> n.compareTo(lowest) >= 0 && n.compareTo(highest) <= 0));
  }

  /** A difference of temperature. */
  static Reader<Double> kelvin(String example) {
    return Reader.scalar(
        "a difference of temperature, such as \"" + example + "\"", text -> first(KELVIN, text, 0));
  }

  /** A coefficient of expansion; per kelvin. */
  static Reader<Double> expansion(String example) {
    return Reader.scalar(
        "a coefficient of expansion, such as \"" + example + "\"", text -> first(PPM, text, 6));
  }

  /** A range of temperature. */
  static Reader<Range> range() {
    return Reader.scalar(
        "a range from -20 to 60 degC, such as \"18 to 30 degC\"",
        text -> {
          Matcher matcher = RANGE.matcher(text);
          if (!matcher.matches()) {
            return Optional.empty();
          }
          BigDecimal from = new BigDecimal(matcher.group(1));
          BigDecimal to = new BigDecimal(matcher.group(2));
          boolean fits =
              from.compareTo(COLDEST) >= 0 && from.compareTo(to) <= 0 && to.compareTo(WARMEST) <= 0;
          return fits
              ? Optional.of(new Range(from.doubleValue(), to.doubleValue()))
              : Optional.empty();
        });
  }

  private static Optional<Double> first(Pattern pattern, String text, int places) {
    Matcher matcher = pattern.matcher(text);
    return matcher.matches()
        ? Optional.of(new BigDecimal(matcher.group(1)).movePointLeft(places).doubleValue())
        : Optional.empty();
  }
}

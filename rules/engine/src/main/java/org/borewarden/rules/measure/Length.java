package org.borewarden.rules.measure;

/**
 * An exact length or difference of lengths: a whole number of picometres.
 *
 * <p>A {@code long} reaches 9 223 km, far beyond any bore; sums and differences that leave the
 * range throw {@link ArithmeticException} rather than wrap.
 *
 * @param picometres the length in picometres, negative for a difference downward
 */
public record Length(long picometres) implements Comparable<Length> {
  /** No length. */
  public static final Length ZERO = new Length(0);

  /**
   * The sum.
   *
   * @param other what to add
   * @return this + other, exact
   * @throws ArithmeticException when the sum leaves the range of a {@code long}
   */
  public Length plus(Length other) {
    return new Length(Math.addExact(picometres, other.picometres));
  }

  /**
   * The difference.
   *
   * @param other what to take away
   * @return this - other, exact
   * @throws ArithmeticException when the difference leaves the range of a {@code long}
   */
  public Length minus(Length other) {
    return new Length(Math.subtractExact(picometres, other.picometres));
  }

  /**
   * Whether this length is shorter.
   *
   * @param other the length to compare with
   * @return true when this is less than other
   */
  public boolean isBelow(Length other) {
    return picometres < other.picometres;
  }

  /**
   * Whether this length is longer.
   *
   * @param other the length to compare with
   * @return true when this is more than other
   */
  public boolean isAbove(Length other) {
    return picometres > other.picometres;
  }

  /**
   * The length as a double in metres, for metrics and statistics only; never for a comparison with
   * a limit.
   *
   * @return metres, rounded to the nearest double
   */
  public double metres() {
    return picometres / 1e12;
  }

  @Override
  public int compareTo(Length other) {
    return Long.compare(picometres, other.picometres);
  }
}

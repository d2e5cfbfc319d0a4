package org.borewarden.rules.uncertainty;

/**
 * How the values of a component spread inside its bounds of plus or minus a (JCGM 100:2008, 4.3.7
 * to 4.3.9; from memory).
 */
public enum Shape {
  /** Normal: a standard deviation is stated, not a bound. */
  NORMAL("normal", 1),
  /** Rectangular: anywhere inside the bounds alike, u = a / sqrt(3). */
  RECTANGULAR("rectangular", Math.sqrt(3)),
  /** Triangular: likelier in the middle, u = a / sqrt(6). */
  TRIANGULAR("triangular", Math.sqrt(6)),
  /** U-shaped (arcsine): likelier at the bounds, as a cycling temperature, u = a / sqrt(2). */
  U_SHAPED("u-shaped", Math.sqrt(2));

  private final String key;
  private final double divisor;

  Shape(String key, double divisor) {
    this.key = key;
    this.divisor = divisor;
  }

  /**
   * The word in files.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return key;
  }

  /**
   * The standard uncertainty of a bound.
   *
   * @param bound a, the half width, in any unit
   * @return u in the same unit
   */
  public double standard(double bound) {
    return bound / divisor;
  }
}

package org.borewarden.rules.study;

/**
 * What a crossed study found, as standard deviations in the unit of the readings.
 *
 * @param repeatability of one person on one part, the equipment variation EV
 * @param reproducibility between persons, the appraiser variation AV
 * @param interaction persons who differ on some parts only; 0 where it is pooled or not estimated
 * @param parts between the parts, PV
 */
public record Spread(
    double repeatability, double reproducibility, double interaction, double parts) {
  /** How many classes of parts a gauge can tell apart per ratio of spreads (AIAG MSA, 4th ed.). */
  private static final double CLASSES = 1.41;

  /** The width of a spread in standard deviations that is compared with a tolerance. */
  private static final double WIDTH = 6;

  /**
   * Of the gauge with its users: repeatability and reproducibility together, GRR.
   *
   * @return 0 or more
   */
  public double gauge() {
    return Math.sqrt(
        repeatability * repeatability
            + reproducibility * reproducibility
            + interaction * interaction);
  }

  /**
   * Of all readings, TV.
   *
   * @return 0 or more
   */
  public double total() {
    double gauge = gauge();
    return Math.sqrt(gauge * gauge + parts * parts);
  }

  /**
   * The gauge's share of the total spread, %GRR.
   *
   * @return 0 to 1
   */
  public double gaugeShare() {
    return gauge() / total();
  }

  /**
   * The gauge's spread, six standard deviations, over the tolerance.
   *
   * @param tolerance the width between the limits, above 0, in the unit of the readings
   * @return 0 or more; AIAG calls under 0.1 good and over 0.3 not acceptable (from memory)
   * @throws IllegalArgumentException when the tolerance is not above 0
   */
  public double overTolerance(double tolerance) {
    if (!(tolerance > 0)) {
      throw new IllegalArgumentException("expected a tolerance above 0, found " + tolerance);
    }
    return WIDTH * gauge() / tolerance;
  }

  /**
   * How many classes of parts the gauge tells apart, before it is cut to a whole number.
   *
   * @return 1.41 PV / GRR; AIAG asks for 5 or more
   */
  public double distinctClasses() {
    return CLASSES * parts / gauge();
  }
}

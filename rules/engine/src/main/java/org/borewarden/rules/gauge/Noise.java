package org.borewarden.rules.gauge;

/**
 * The noise of one reading on a ring.
 *
 * @param repeatability s_rep, picometres
 * @param resolution r, the step of the display, picometres
 */
public record Noise(double repeatability, double resolution) {
  /**
   * The standard uncertainty of the mean of a check.
   *
   * @param readings how many readings
   * @return sqrt((s_rep^2 + r^2/12) / n), picometres
   */
  public double ofMean(int readings) {
    return Math.sqrt(ofReading() * ofReading() / readings);
  }

  /**
   * The standard uncertainty of one reading.
   *
   * @return picometres
   */
  public double ofReading() {
    return Math.sqrt(repeatability * repeatability + resolution * resolution / 12);
  }
}

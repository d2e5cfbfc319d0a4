package org.borewarden.rules.study;

import java.util.List;
import org.borewarden.rules.stat.Moments;

/**
 * One gauge, one master, many readings: capability of the gauge alone, Cg and Cgk (ISO 22514-7;
 * formulae from secondary sources).
 *
 * @param mean the mean of the readings
 * @param sigma their standard deviation, with n - 1
 * @param potential Cg: a share of the tolerance over a width of the scatter; infinite where nothing
 *     scatters
 * @param actual Cgk: the same with the bias taken off
 */
public record RepeatStudy(double mean, double sigma, double potential, double actual) {
  /** The usual share of the tolerance, 20 %. */
  public static final double USUAL_SHARE = 0.2;

  /** The usual width of the scatter in standard deviations; some works use 4. */
  public static final double USUAL_WIDTH = 6;

  /**
   * The study of a set of readings.
   *
   * @param readings at least 2 readings of the master, in one unit
   * @param reference the master's certified size, in that unit
   * @param tolerance the width between the limits, above 0, in that unit
   * @param share the share of the tolerance, over 0 and at most 1
   * @param width the width of the scatter in standard deviations, over 0
   * @return Cg and Cgk; the usual limit of both is 1.33
   * @throws IllegalArgumentException when one of them is out of its range
   */
  public static RepeatStudy of(
      List<Double> readings, double reference, double tolerance, double share, double width) {
    if (readings.size() < 2) {
      throw new IllegalArgumentException(
          "expected at least 2 readings of the master, found " + readings.size());
    }
    if (!(tolerance > 0) || !(share > 0 && share <= 1) || !(width > 0)) {
      throw new IllegalArgumentException(
          "expected a tolerance above 0, a share over 0 up to 1 and a width over 0, found "
              + tolerance
              + ", "
              + share
              + ", "
              + width);
    }
    Moments moments = Moments.NONE;
    for (double reading : readings) {
      moments = moments.plus(reading - reference);
    }
    double sigma = moments.standardDeviation();
    double allowed = share * tolerance;
    return new RepeatStudy(
        reference + moments.mean(),
        sigma,
        allowed / (width * sigma),
        (allowed / 2 - Math.abs(moments.mean())) / (width / 2 * sigma));
  }
}

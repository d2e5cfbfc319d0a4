package org.borewarden.rules.uncertainty;

import org.borewarden.rules.measure.Length;

/**
 * One named contribution to the uncertainty of a size.
 *
 * @param name its name, for people
 * @param kind what it is, which decides how it is combined
 * @param evaluation type A or B
 * @param shape the distribution that was assumed
 * @param standard the standard uncertainty of the input, in the unit of the input
 * @param sensitivity picometres of size per unit of the input; 1 for an input in picometres
 * @param freedom the degrees of freedom of {@code standard}; infinite where it is taken as exact
 */
public record Component(
    String name,
    Kind kind,
    Evaluation evaluation,
    Shape shape,
    double standard,
    double sensitivity,
    double freedom) {

  /** What a component is. */
  public enum Kind {
    /** The resolution of the reading: counts only where it is larger than every repeatability. */
    RESOLUTION,
    /** The spread of repeated readings: counts only where it is not smaller than the resolution. */
    REPEATABILITY,
    /** Any other: always counts. */
    OTHER
  }

  /** How a standard uncertainty was found (JCGM 100:2008, 4.2 and 4.3; from memory). */
  public enum Evaluation {
    /** From the statistics of repeated readings. */
    A,
    /** From anything else: a certificate, a data sheet, a bound. */
    B
  }

  /**
   * Checks the numbers.
   *
   * @throws IllegalArgumentException when one is not finite, negative or no number
   */
  public Component {
    if (!(standard >= 0) || !Double.isFinite(standard) || !Double.isFinite(sensitivity)) {
      throw new IllegalArgumentException(
          "expected a finite uncertainty and sensitivity, found " + standard + ", " + sensitivity);
    }
    if (!(freedom > 0)) {
      throw new IllegalArgumentException("expected degrees of freedom above 0, found " + freedom);
    }
  }

  /**
   * A stated expanded uncertainty, as on the certificate of a setting ring.
   *
   * @param name its name
   * @param expanded U
   * @param k its coverage factor
   * @return type B, normal
   */
  public static Component certificate(String name, Length expanded, double k) {
    return other(name, Shape.NORMAL, expanded.picometres() / k, 1);
  }

  /**
   * A bound of plus or minus a.
   *
   * @param name its name
   * @param shape how it spreads inside the bound
   * @param bound a
   * @return type B
   */
  public static Component within(String name, Shape shape, Length bound) {
    return other(name, shape, shape.standard((double) bound.picometres()), 1);
  }

  /**
   * A standard uncertainty of any input.
   *
   * @param name its name
   * @param shape how it spreads
   * @param standard u of the input, in its unit
   * @param sensitivity picometres of size per unit of the input
   * @return type B
   */
  public static Component other(String name, Shape shape, double standard, double sensitivity) {
    return new Component(
        name, Kind.OTHER, Evaluation.B, shape, standard, sensitivity, Double.POSITIVE_INFINITY);
  }

  /**
   * The resolution r of a reading: u = r / sqrt(12), half a step to either side.
   *
   * @param name its name
   * @param step r
   * @return type B, rectangular
   */
  public static Component resolution(String name, Length step) {
    return new Component(
        name,
        Kind.RESOLUTION,
        Evaluation.B,
        Shape.RECTANGULAR,
        Shape.RECTANGULAR.standard(step.picometres() / 2.0),
        1,
        Double.POSITIVE_INFINITY);
  }

  /**
   * The spread s of n repeated readings, for the mean of m of them: u = s / sqrt(m), n - 1 degrees
   * of freedom.
   *
   * @param name its name
   * @param deviation s
   * @param readings n, from which s was found, 2 or more
   * @param meanOf m, the readings whose mean is judged, 1 or more
   * @return type A
   * @throws IllegalArgumentException when n is under 2 or m under 1
   */
  public static Component repeatability(String name, Length deviation, int readings, int meanOf) {
    if (readings < 2 || meanOf < 1) {
      throw new IllegalArgumentException(
          "expected 2 readings or more and a mean of 1 or more, found " + readings + ", " + meanOf);
    }
    return new Component(
        name,
        Kind.REPEATABILITY,
        Evaluation.A,
        Shape.NORMAL,
        deviation.picometres() / Math.sqrt(meanOf),
        1,
        readings - 1.0);
  }

  /**
   * The same with degrees of freedom.
   *
   * @param degrees over 0
   * @return a component that differs in these only
   */
  public Component withFreedom(double degrees) {
    return new Component(name, kind, evaluation, shape, standard, sensitivity, degrees);
  }

  /**
   * What it adds to the size.
   *
   * @return |sensitivity| * standard, picometres
   */
  public double picometres() {
    return Math.abs(sensitivity) * standard;
  }
}

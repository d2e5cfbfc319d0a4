package org.borewarden.rules.uncertainty;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * What temperature does to a size, to first order. With D the nominal size, a a coefficient of
 * expansion and t a temperature (w workpiece, r ring, g gauge body, gm gauge body at mastering):
 *
 * <pre>D20 = indicated + D [a_r (t_r - 20) - a_w (t_w - 20) + a_g (t_g - t_gm)]</pre>
 *
 * <p>The uncertainty is counted in t_w - t_r and a_w - a_r, after JCGM 100:2008 H.1 (from memory):
 * one thermometer's error is common to all temperatures, and the direct form would count it twice.
 * 20 degrees Celsius is the reference temperature of ISO 1 (from memory).
 *
 * @param part a_w, per kelvin
 * @param ring a_r, per kelvin
 * @param gauge a_g, per kelvin
 * @param coefficientWithin the bound of a_r, of a_g and of a_w - a_r, rectangular, per kelvin
 * @param from the coldest that part, ring and gauge are used at, degrees Celsius
 * @param to the warmest
 * @param difference the most that two of them, or one of them since mastering, may differ, kelvin
 * @param correction how well temperatures are known, where sizes are corrected
 */
public record Expansion(
    double part,
    double ring,
    double gauge,
    double coefficientWithin,
    double from,
    double to,
    double difference,
    Optional<Correction> correction) {
  /** The reference temperature, degrees Celsius. */
  public static final double REFERENCE = 20;

  /**
   * Sizes are corrected where temperatures are known and fresh.
   *
   * @param thermometerWithin the bound of the error that all temperatures share, rectangular,
   *     kelvin
   * @param differenceWithin the bound of the error of a difference, rectangular, kelvin
   * @param oldest a temperature that is older counts as none
   */
  public record Correction(double thermometerWithin, double differenceWithin, Duration oldest) {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a bound is negative or no number, or the time not above
     *     zero
     */
    public Correction {
      Expansion.atLeastZero("the bound of the thermometer", thermometerWithin);
      Expansion.atLeastZero("the bound of a difference", differenceWithin);
      if (oldest.isNegative() || oldest.isZero()) {
        throw new IllegalArgumentException("expected a time above zero, found " + oldest);
      }
    }
  }

  /**
   * Checks the ranges.
   *
   * @throws IllegalArgumentException when a bound is negative, a number none or the range empty
   */
  public Expansion {
    atLeastZero("a coefficient of expansion", part);
    atLeastZero("a coefficient of expansion", ring);
    atLeastZero("a coefficient of expansion", gauge);
    atLeastZero("the bound of a coefficient", coefficientWithin);
    atLeastZero("the difference", difference);
    if (!(from <= to) || !Double.isFinite(from) || !Double.isFinite(to)) {
      throw new IllegalArgumentException("expected a range, found " + from + " to " + to);
    }
  }

  private static void atLeastZero(String what, double value) {
    if (!(value >= 0) || !Double.isFinite(value)) {
      throw new IllegalArgumentException("expected " + what + " of 0 or more, found " + value);
    }
  }

  /**
   * What is to be added to an indicated size.
   *
   * @param nominal D
   * @param at the temperatures; without the gauge body's, its term is left out
   * @return rounded once, half to even, to the picometre
   */
  public Length correction(Length nominal, Temperatures at) {
    double perNominal =
        ring * (at.ring() - REFERENCE)
            - part * (at.part() - REFERENCE)
            + gauge * at.gaugeSince().orElse(0);
    return new Length((long) Math.rint(nominal.picometres() * perNominal));
  }

  /**
   * What the correction adds to the uncertainty.
   *
   * @param nominal D
   * @param at the temperatures
   * @param known how well they are known
   * @return a standard uncertainty, picometres
   */
  public double corrected(Length nominal, Temperatures at, Correction known) {
    double coefficient = Shape.RECTANGULAR.standard(coefficientWithin);
    double level = Shape.RECTANGULAR.standard(known.thermometerWithin);
    double between = Shape.RECTANGULAR.standard(known.differenceWithin);
    double unseen = Shape.RECTANGULAR.standard(difference);
    boolean seen = at.gaugeSince().isPresent();
    double sum =
        square((at.part() - REFERENCE) * coefficient)
            + square((at.part() - at.ring()) * coefficient)
            + square((part - ring) * level)
            + square(ring * between)
            + square(at.gaugeSince().orElse(0) * coefficient)
            + square(gauge * (seen ? between : unseen));
    return nominal.picometres() * Math.sqrt(sum);
  }

  /**
   * What temperature adds to the uncertainty of a size that is not corrected: the farthest that it
   * can be off in the stated range, as a rectangular bound.
   *
   * @param nominal D
   * @return a standard uncertainty, picometres
   */
  public double uncorrected(Length nominal) {
    double farthest = Math.max(Math.abs(from - REFERENCE), Math.abs(to - REFERENCE));
    double bound =
        (Math.abs(part - ring) + coefficientWithin) * farthest
            + (ring + coefficientWithin) * difference
            + (gauge + coefficientWithin) * difference;
    return nominal.picometres() * Shape.RECTANGULAR.standard(bound);
  }

  /**
   * The same for a ring that is measured in the place of a part.
   *
   * @return an expansion whose part is made of what the ring is made of
   */
  public Expansion ofRing() {
    return new Expansion(ring, ring, gauge, coefficientWithin, from, to, difference, correction);
  }

  private static double square(double x) {
    return x * x;
  }
}

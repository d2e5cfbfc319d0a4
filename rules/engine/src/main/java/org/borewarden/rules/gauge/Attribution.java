package org.borewarden.rules.gauge;

import java.util.Locale;
import java.util.OptionalInt;

/**
 * Whether a shift of the bores is the gauge's or the process's: the bores' shift is held against
 * what the ring says of the gauge.
 *
 * @param answer one of four
 * @param boreShift d_b, the shift of the bores across the onset
 * @param boreUncertainty its standard uncertainty
 * @param ringShift d_r, the shift of the ring errors
 * @param ringUncertainty its standard uncertainty
 * @param readingsToDecide how many readings the second check would have needed in all, if the
 *     shifts are what they seem to be; present only where it cannot be told and readings can help
 */
public record Attribution(
    Answer answer,
    double boreShift,
    double boreUncertainty,
    double ringShift,
    double ringUncertainty,
    OptionalInt readingsToDecide) {
  /** How many standard uncertainties make a shift. */
  public static final double COVERAGE = 3;

  private static final int MOST_READINGS = 1_000;

  /** The four answers. */
  public enum Answer {
    /** The ring shifted, and the bores shifted with it. */
    GAUGE,
    /** The ring did not shift, the bores did. */
    PROCESS,
    /** The ring shifted, and the bores shifted otherwise. */
    BOTH,
    /** Neither shift stands out of its noise. */
    CANNOT_TELL;

    /**
     * The word in payloads.
     *
     * @return lower case, with hyphens
     */
    public String key() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /**
   * A shift.
   *
   * @param size the shift
   * @param uncertainty its standard uncertainty, in the same unit
   */
  public record Shift(double size, double uncertainty) {}

  /**
   * Answers.
   *
   * @param bores the shift of the bores, in any unit
   * @param ring the shift of the ring errors, in the same unit
   * @param reading the standard uncertainty of one reading on the ring
   * @param before the readings of the check before the onset, which cannot be repeated
   * @return the answer
   */
  public static Attribution of(Shift bores, Shift ring, double reading, int before) {
    double apart = Math.abs(bores.size() - ring.size());
    boolean ringMoved = Math.abs(ring.size()) > COVERAGE * ring.uncertainty();
    boolean boresElsewhere = apart > COVERAGE * Math.hypot(bores.uncertainty(), ring.uncertainty());
    Answer answer = answer(ringMoved, boresElsewhere);
    return new Attribution(
        answer,
        bores.size(),
        bores.uncertainty(),
        ring.size(),
        ring.uncertainty(),
        answer == Answer.CANNOT_TELL
            ? toDecide(bores, ring, reading, before)
            : OptionalInt.empty());
  }

  private static Answer answer(boolean ringMoved, boolean boresElsewhere) {
    if (ringMoved) {
      return boresElsewhere ? Answer.BOTH : Answer.GAUGE;
    }
    return boresElsewhere ? Answer.PROCESS : Answer.CANNOT_TELL;
  }

  private static OptionalInt toDecide(Shift bores, Shift ring, double reading, int before) {
    for (int n = 1; n <= MOST_READINGS; n++) {
      double u = reading * Math.sqrt(1.0 / before + 1.0 / n);
      boolean gauge = Math.abs(ring.size()) > COVERAGE * u;
      boolean process =
          Math.abs(bores.size() - ring.size()) > COVERAGE * Math.hypot(bores.uncertainty(), u);
      if (gauge || process) {
        return OptionalInt.of(n);
      }
    }
    return OptionalInt.empty();
  }
}

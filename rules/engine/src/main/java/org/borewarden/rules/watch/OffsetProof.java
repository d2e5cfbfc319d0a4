package org.borewarden.rules.watch;

import java.util.Locale;

/** What the bores after a stated offset show: metrology.md 4.13. */
public enum OffsetProof {
  /** The level moved as it was asked to. */
  AS_ASKED(1),
  /** It did not move. */
  NOT_TAKEN(0),
  /** It moved twice as far: radius for diameter, or entered twice. */
  DOUBLED(2),
  /** It moved the other way. */
  WRONG_SIGN(-1),
  /** It moved otherwise. */
  OTHERWISE(Double.NaN),
  /** The offset is too small against the scatter of these bores. */
  CANNOT_TELL(Double.NaN);

  /** So many standard uncertainties lie between two answers, and about one. */
  private static final double APART = 2;

  private static final double ABOUT = 3;

  private final double times;

  OffsetProof(double times) {
    this.times = times;
  }

  /**
   * The answer that lies nearest. Answers are one offset apart.
   *
   * @param asked what was asked for
   * @param moved by how much the level moved
   * @param u the standard uncertainty of that
   * @return the answer
   */
  public static OffsetProof of(double asked, double moved, double u) {
    if (Math.abs(asked) < 2 * APART * u) {
      return CANNOT_TELL;
    }
    OffsetProof nearest = AS_ASKED;
    for (OffsetProof answer : values()) {
      if (answer.apart(asked, moved) < nearest.apart(asked, moved)) {
        nearest = answer;
      }
    }
    return nearest.apart(asked, moved) <= ABOUT * u ? nearest : OTHERWISE;
  }

  private double apart(double asked, double moved) {
    return Math.abs(moved - times * asked);
  }

  /**
   * The words.
   *
   * @return lower case
   */
  public String words() {
    return this == CANNOT_TELL
        ? "cannot be told from these bores"
        : name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}

package org.borewarden.rules.part;

import java.util.Locale;

/** What can be limited of a bore's form. */
public enum FormKind {
  /**
   * Largest less smallest diameter at a depth, the worst depth; at exactly 0, 60 and 120 degrees
   * twice the amplitude of the second harmonic, which these three give exactly.
   */
  OVALITY,
  /** The roundness of an ellipse: half its ovality. */
  ROUNDNESS,
  /** Largest less smallest size of a three-point head at a depth, the worst depth. */
  LOBING,
  /** Mean at the entry less mean at the end, without its sign. */
  TAPER,
  /** Mean at mid less the mean of entry and end: positive for a barrel. */
  BARREL,
  /** The same with the other sign: positive for an hourglass. */
  HOURGLASS,
  /** Mean at a face less mean at mid; the worse of entry and end. */
  BELL_MOUTH,
  /** Largest less smallest of all places (ISO 14405-1 SR). */
  SR,
  /** Standard deviation of all places, n - 1 (ISO 14405-1 SQ; the divisor from memory). */
  SQ;

  /**
   * The word in files and payloads.
   *
   * @return lower case with hyphens; SR and SQ as drawings write them
   */
  public String key() {
    return this == SR || this == SQ ? name() : name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /**
   * Whether it is seen from several angles at one depth.
   *
   * @return true for ovality, roundness and lobing
   */
  public boolean acrossAngles() {
    return this == OVALITY || this == ROUNDNESS || this == LOBING;
  }

  /**
   * Whether it is seen from entry and end.
   *
   * @return true for taper, barrel, hourglass and bell mouth
   */
  public boolean alongDepth() {
    return this == TAPER || needsMid();
  }

  /**
   * Whether it is seen from the middle depth too.
   *
   * @return true for barrel, hourglass and bell mouth
   */
  public boolean needsMid() {
    return this == BARREL || this == HOURGLASS || this == BELL_MOUTH;
  }
}

package org.borewarden.rules.part;

import java.util.Locale;

/**
 * After which standard the drawing gives sizes, which decides what a size of a bore is where the
 * drawing says no more.
 */
public enum Drawing {
  /** The two-point size at every place (ISO 14405-1, from a public abstract and from memory). */
  ISO,
  /**
   * Two-point sizes, and beside them the envelope of perfect form at the smallest size, which for a
   * bore is the lower limit (ASME Y14.5, Rule 1; from memory). A bore gauge proves the first only.
   */
  ASME;

  /**
   * The word in files.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }
}

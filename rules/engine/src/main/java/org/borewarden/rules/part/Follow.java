package org.borewarden.rules.part;

import java.util.Locale;

/**
 * Which size of a bore the watches follow where every place is judged. A boring insert that wears
 * makes bores smaller, so that the smallest reaches its limit first (common practice, no source).
 */
public enum Follow {
  /** The smallest. */
  SMALLEST,
  /** The largest, for tools that open the bore. */
  LARGEST,
  /** The mean of all places. */
  MEAN;

  /**
   * The word in files.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }
}

package org.borewarden.rules.bore;

import java.util.Locale;

/** What is said of a bore's form. */
public enum FormVerdict {
  /** Within its limit. */
  WITHIN,
  /** Over its limit. */
  OVER,
  /** Neither is proven. */
  UNDECIDED;

  /**
   * The word in payloads.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }
}

package org.borewarden.rules.part;

/**
 * Which size of many readings is held against the limits. The names other than {@code every} are
 * the rank-order modifiers of ISO 14405-1 (names and meaning from public abstracts and worked
 * examples; the standard itself was not at hand). SR and SQ are no sizes but limits of form.
 */
public enum SizeRule {
  /** The two-point size at every place: the smallest against L, the largest against V. */
  EVERY("every"),
  /** The largest. */
  SX("SX"),
  /** The smallest. */
  SN("SN"),
  /** The arithmetic mean. */
  SA("SA"),
  /** The median. */
  SM("SM"),
  /** The middle between smallest and largest. */
  SD("SD");

  private final String key;

  SizeRule(String key) {
    this.key = key;
  }

  /**
   * The word in files and payloads.
   *
   * @return as a drawing writes it
   */
  public String key() {
    return key;
  }
}

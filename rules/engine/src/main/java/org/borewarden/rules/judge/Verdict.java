package org.borewarden.rules.judge;

/** What is said of a bore. Words, never arrows or lamps. */
public enum Verdict {
  /** Below the lower limit. */
  UNDERSIZE("undersize"),
  /** Within the limits. */
  WITHIN("within"),
  /** Above the upper limit. */
  OVERSIZE("oversize"),
  /** Neither within nor out is proven; undersize is the more probable doubt. */
  UNDECIDED_LOW("undecided-low"),
  /** Neither within nor out is proven; oversize is the more probable doubt. */
  UNDECIDED_HIGH("undecided-high"),
  /** The measurement may not be believed. */
  WITHHELD("withheld"),
  /** Repeat readings are awaited. */
  CONFIRMING("confirming");

  private final String key;

  Verdict(String key) {
    this.key = key;
  }

  /**
   * The word in payloads and metrics.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return key;
  }

  /**
   * Whether the bore is judged out of limit.
   *
   * @return true for undersize and oversize
   */
  public boolean isOut() {
    return this == UNDERSIZE || this == OVERSIZE;
  }
}

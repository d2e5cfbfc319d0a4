package org.borewarden.rules.hold;

/**
 * Counts the good bores that a release asks for. Only bores in a row count: one that is not proven
 * within starts the count again.
 *
 * @param needed how many good bores are asked for, at least 1
 * @param good how many stand in a row
 */
public record Evidence(int needed, int good) {
  /**
   * Checks the counts.
   *
   * @throws IllegalArgumentException when needed is under 1 or good is negative
   */
  public Evidence {
    if (needed < 1 || good < 0) {
      throw new IllegalArgumentException(
          "evidence: expected needed >= 1 and good >= 0, found " + needed + " and " + good);
    }
  }

  /**
   * Nothing counted yet.
   *
   * @param needed how many good bores are asked for, at least 1
   * @return the count at its start
   */
  public static Evidence of(int needed) {
    return new Evidence(needed, 0);
  }

  /**
   * Counts a bore.
   *
   * @param within whether its verdict is within; undecided and withheld bores are not
   * @return the count after it
   */
  public Evidence bore(boolean within) {
    return new Evidence(needed, within ? Math.min(good + 1, needed) : 0);
  }

  /**
   * Whether the evidence is there.
   *
   * @return true once the needed bores stand in a row
   */
  public boolean complete() {
    return good >= needed;
  }
}

package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/**
 * The sizes that are taken for one feature, both ends included.
 *
 * @param feature the feature
 * @param from the smallest
 * @param to the largest
 */
public record SizeWindow(String feature, Length from, Length to) {
  /**
   * Whether a size is one of them.
   *
   * @param size a size
   * @return true at the ends too
   */
  public boolean holds(Length size) {
    return !size.isBelow(from) && !size.isAbove(to);
  }

  /**
   * Whether no size can be of both, not even one at an end.
   *
   * @param other another window
   * @return false where they touch
   */
  public boolean isApartFrom(SizeWindow other) {
    return to.isBelow(other.from) || other.to.isBelow(from);
  }
}

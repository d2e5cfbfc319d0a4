package org.borewarden.rules.part;

import java.util.Locale;

/** From where the place of a part in cutting order is known: metrology.md 4.10. */
public enum PartOrder {
  /**
   * Bores come to the gauge in the order in which they were cut; a part number that the cell names
   * says it better.
   */
  ARRIVAL,
  /** The cell's part counter. A bore without a part number has no place. */
  PART,
  /** The digits at the end of the part's serial. A bore without them has no place. */
  SERIAL,
  /** Nobody vouches for an order: no bore has a place. */
  UNKNOWN;

  /**
   * The word in files.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }
}

package org.borewarden.rules.engine;

/**
 * What is counted of a feature that is confirmed, or whose gauge is checked.
 *
 * @param judged the bores judged
 * @param backIn those whose first reading was out and that were confirmed back in
 * @param withheld the bores in a row that were withheld
 */
record Tally(long judged, long backIn, int withheld) {
  static final Tally NONE = new Tally(0, 0, 0);

  /** So many bores are judged before a share of them says something. */
  static final long LEAST_JUDGED = 20;

  /** More than one in so many confirmed back in is a finding: 5 %. */
  static final long ONE_IN = 20;

  /** So many withheld in a row are a reason to hold: there is no evidence any more. */
  static final int WITHHELD_IN_A_ROW = 3;

  Tally bore(boolean firstReadingOut) {
    return new Tally(judged + 1, backIn + (firstReadingOut ? 1 : 0), 0);
  }

  Tally withheldBore() {
    return new Tally(judged, backIn, Math.min(withheld + 1, WITHHELD_IN_A_ROW));
  }

  boolean tooMany() {
    return judged >= LEAST_JUDGED && backIn * ONE_IN > judged;
  }
}

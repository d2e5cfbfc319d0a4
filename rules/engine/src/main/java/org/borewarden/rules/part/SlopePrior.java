package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/**
 * What is known of the wear of an insert before it cuts: from earlier inserts of the same kind
 * (metrology.md 4.3). It lets a forecast begin with fewer bores; once the forecast's own minimum
 * stands, the bores speak alone.
 */
public sealed interface SlopePrior {
  /** The fewest bores with which a prior helps. */
  int FEWEST = 3;

  /**
   * The bores from which on it is used.
   *
   * @return at least {@link #FEWEST}
   */
  int minimumBores();

  /**
   * The rules say it.
   *
   * @param slope per part
   * @param error its standard uncertainty, the spread from insert to insert included, above 0
   * @param parts over how many parts it was seen, 1 to 100000: no farther is anything foretold
   * @param minimumBores the bores from which on it is used
   */
  record Given(Length slope, Length error, int parts, int minimumBores) implements SlopePrior {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Given {
      if (!error.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the error of a slope must be above 0");
      }
      Check.range("the parts of a prior", parts, 1, WatchRule.Forecast.MAX_PARTS);
      Check.range("the bores of a prior", minimumBores, FEWEST, 1000);
    }
  }

  /**
   * It is learnt from the tools that went before.
   *
   * @param lives how many tool lives must have taught it, 3 to 20
   * @param minimumBores the bores from which on it is used
   */
  record Learnt(int lives, int minimumBores) implements SlopePrior {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Learnt {
      Check.range("the lives of a prior", lives, 3, 20);
      Check.range("the bores of a prior", minimumBores, FEWEST, 1000);
    }
  }
}

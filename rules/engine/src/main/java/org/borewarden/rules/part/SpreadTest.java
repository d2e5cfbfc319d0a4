package org.borewarden.rules.part;

/**
 * Tests of the spread from bore to bore. They compare neighbours, so that neither the level nor a
 * healthy wear moves them.
 */
public sealed interface SpreadTest extends ChartTest {
  /**
   * Two neighbours lie farther apart than a number of sigmas: the moving range of two (ISO 7870-2).
   * Its usual limit D4 d2 is 3.686 sigmas. No range is taken across a tool change.
   *
   * @param sigmas the distance, 1 to 10
   */
  record MovingRange(double sigmas) implements SpreadTest {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the distance is out of its range
     */
    public MovingRange {
      Check.range("the distance in sigmas", sigmas, 1, 10);
    }
  }

  /**
   * The spread grows: a cumulative sum of v = d^2 / 2, d the difference of neighbours in sigmas,
   * whose mean is 1 while sigma is as it was: C = max(0, C + v - slack), a signal is C over the
   * limit. The sum of squares after Hawkins (1981) and its slack 2 ln(r) r^2 / (r^2 - 1) for a
   * growth to r times sigma (from memory; there for independent values, which neighbouring
   * differences are not, so that run lengths come from simulation).
   *
   * @param slack over 1 to 10
   * @param limit 1 to 100
   */
  record Spreading(double slack, double limit) implements SpreadTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Spreading {
      Check.range("the slack", slack, 1.01, 10);
      Check.range("the limit", limit, 1, 100);
    }
  }
}

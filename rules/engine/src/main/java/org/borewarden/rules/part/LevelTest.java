package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/** Tests of the level over the last bores, and pre-control. */
public sealed interface LevelTest extends ChartTest {
  /** The most bores that are kept: metrology.md 4.7. */
  int LONGEST_WINDOW = 32;

  /**
   * A step: the mean of the last bores differs from the mean of as many before them by more than a
   * number of its standard deviations, as after an insert has chipped. Two means are compared with
   * the normal distribution (any textbook); how often it is wrong is known from simulation only,
   * because neighbouring windows overlap.
   *
   * @param bores in each of both means, 1 to 16
   * @param sigmas in standard deviations sigma sqrt(2 / bores) of the difference, 1 to 10
   */
  record Jump(int bores, double sigmas) implements LevelTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Jump {
      Check.range("the bores of a step", bores, 1, LONGEST_WINDOW / 2);
      Check.range("the distance in sigmas", sigmas, 1, 10);
    }
  }

  /**
   * A drift that a few wild bores cannot make: the interval of Sen (1968) for the slope after Theil
   * does not include the wear that is expected. Needs no sigma and no normal distribution.
   *
   * @param bores the length of the window, 8 to 32; nothing is found before it is full
   * @param probability of the interval, 0.8 to 0.9999
   * @param wear the expected change per part, 0 for none
   */
  record Drift(int bores, double probability, Length wear) implements LevelTest {
    /** The shortest window. */
    public static final int SHORTEST_WINDOW = 8;

    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Drift {
      Check.range("the bores of a drift", bores, SHORTEST_WINDOW, LONGEST_WINDOW);
      Check.range("the probability", probability, 0.8, 0.9999);
    }
  }

  /**
   * Pre-control (common practice, no source): the inner half from the centre to each limit is
   * green, the outer half yellow, beyond is out. It begins with so many greens in a row; then two
   * yellows in a row are a signal, and it begins anew. That so many greens come at once says little
   * of the process: five do so 49 % of the time at Cp 1.0 and 79 % at 1.33 (metrology.md 4.15).
   *
   * @param greens in a row before it begins, 1 to 20
   */
  record PreControl(int greens) implements LevelTest {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the greens are out of their range
     */
    public PreControl {
      Check.range("the greens", greens, 1, 20);
    }
  }
}

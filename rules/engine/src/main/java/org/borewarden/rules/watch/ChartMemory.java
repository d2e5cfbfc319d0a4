package org.borewarden.rules.watch;

/** What a chart's test remembers of the bores before: a few numbers, however long the stream. */
public sealed interface ChartMemory {
  /**
   * For tests over a window: one bit per bore, the newest lowest.
   *
   * @param above the bores beyond the distance above the centre
   * @param below those below it
   * @param seen the bores so far, at most 60
   */
  record Window(long above, long below, int seen) implements ChartMemory {
    static final Window NONE = new Window(0, 0, 0);
  }

  /**
   * For tests over the steps from bore to bore.
   *
   * @param last the last bore, in picometres
   * @param direction of the last step: 1 up, -1 down, 0 level or none
   * @param length the bores of the pattern up to now; 0 before the first
   */
  record Steps(double last, int direction, int length) implements ChartMemory {
    static final Steps NONE = new Steps(0, 0, 0);
  }

  /**
   * For the moving average.
   *
   * @param count the bores so far
   * @param value z, in sigmas
   */
  record Average(long count, double value) implements ChartMemory {
    static final Average NONE = new Average(0, 0);
  }

  /**
   * For the cumulative sums.
   *
   * @param upper C upward, in sigmas
   * @param lower C downward, in sigmas
   */
  record Sums(double upper, double lower) implements ChartMemory {}
}

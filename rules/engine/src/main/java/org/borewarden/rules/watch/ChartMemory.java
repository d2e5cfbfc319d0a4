package org.borewarden.rules.watch;

import java.util.List;

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

  /**
   * For tests over differences of neighbours.
   *
   * @param seen whether there was a bore
   * @param last the last bore, in sigmas
   * @param value the last range, or the sum
   */
  record Differences(boolean seen, double last, double value) implements ChartMemory {
    static final Differences NONE = new Differences(false, 0, 0);
  }

  /**
   * For tests over subgroups: the one that is not complete, and what the last complete one said.
   *
   * @param count its bores so far
   * @param mean their mean, in sigmas
   * @param squares the sum of squared differences from it
   * @param low the lowest
   * @param high the highest
   * @param side the signal of the last complete one
   */
  record Group(int count, double mean, double squares, double low, double high, int side)
      implements ChartMemory {
    static final Group NONE = new Group(0, 0, 0, 0, 0, 0);
  }

  /**
   * For tests over the last bores, at most 32.
   *
   * @param values the bores, oldest first
   * @param parts their parts
   */
  record Recent(List<Double> values, List<Long> parts) implements ChartMemory {
    static final Recent NONE = new Recent(List.of(), List.of());

    /** Copies the lists. */
    public Recent {
      values = List.copyOf(values);
      parts = List.copyOf(parts);
    }
  }

  /**
   * For pre-control.
   *
   * @param greens in a row, while it has not begun
   * @param running whether it has begun
   * @param yellow the side of the last bore where that was yellow, else 0
   * @param side the signal of the last bore
   */
  record Zones(int greens, boolean running, int yellow, int side) implements ChartMemory {
    static final Zones NONE = new Zones(0, false, 0, 0);
  }
}

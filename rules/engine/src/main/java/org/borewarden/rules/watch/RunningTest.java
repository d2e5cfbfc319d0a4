package org.borewarden.rules.watch;

import org.borewarden.rules.part.ChartTest;

/**
 * A chart's test that goes on in place, for loops over very many bores. The arithmetic is that of
 * {@link ChartTests}; what is remembered stands in fields of this object, so that once compiled a
 * bore allocates nothing for patterns, moving averages and cumulative sums. Tests over subgroups,
 * zones and windows of values remember records, as in {@link ChartWatch}.
 */
abstract sealed class RunningTest {
  /**
   * Begins with an empty memory.
   *
   * @param test what is looked for
   */
  static RunningTest of(ChartTest test) {
    ChartMemory start = ChartTests.start(test);
    if (start instanceof ChartMemory.Window) {
      return new Marks(test);
    }
    if (start instanceof ChartMemory.Steps) {
      return new Steps(test);
    }
    if (test instanceof ChartTest.Ewma ewma) {
      return new Average(ewma);
    }
    return test instanceof ChartTest.Cusum cusum ? new Sums(cusum) : new Remembered(test);
  }

  /**
   * One bore more.
   *
   * @param w in sigmas from the centre
   * @param part its place in cutting order
   * @param follows whether it is of the next measured part after the one before
   * @return the signal, as {@link ChartTests#signal} gives it
   */
  abstract int take(double w, long part, boolean follows);

  /** Forgets all bores. */
  abstract void clear();

  private static final class Marks extends RunningTest {
    private final ChartTest test;
    private final double distance;
    private long above;
    private long below;
    private int seen;

    Marks(ChartTest test) {
      this.test = test;
      this.distance = ChartTests.distance(test);
    }

    @Override
    int take(double w, long part, boolean follows) {
      ChartMemory.Window next =
          ChartTests.window(new ChartMemory.Window(above, below, seen), w, distance);
      above = next.above();
      below = next.below();
      seen = next.seen();
      return ChartTests.windowSignal(test, next);
    }

    @Override
    void clear() {
      above = 0;
      below = 0;
      seen = 0;
    }
  }

  private static final class Steps extends RunningTest {
    private final ChartTest test;
    private double last;
    private int direction;
    private int length;

    Steps(ChartTest test) {
      this.test = test;
    }

    @Override
    int take(double w, long part, boolean follows) {
      ChartMemory.Steps next =
          ChartTests.steps(test, new ChartMemory.Steps(last, direction, length), w);
      last = next.last();
      direction = next.direction();
      length = next.length();
      return ChartTests.stepsSignal(test, next);
    }

    @Override
    void clear() {
      last = 0;
      direction = 0;
      length = 0;
    }
  }

  private static final class Average extends RunningTest {
    private final ChartTest.Ewma test;
    private long count;
    private double value;

    Average(ChartTest.Ewma test) {
      this.test = test;
    }

    @Override
    int take(double w, long part, boolean follows) {
      ChartMemory.Average next = ChartTests.average(test, new ChartMemory.Average(count, value), w);
      count = next.count();
      value = next.value();
      return ChartTests.averageSignal(test, next);
    }

    @Override
    void clear() {
      count = 0;
      value = 0;
    }
  }

  private static final class Sums extends RunningTest {
    private final ChartTest.Cusum test;
    private final double head;
    private double upper;
    private double lower;

    Sums(ChartTest.Cusum test) {
      this.test = test;
      this.head = ((ChartMemory.Sums) ChartTests.start(test)).upper();
      clear();
    }

    @Override
    int take(double w, long part, boolean follows) {
      ChartMemory.Sums next = ChartTests.sums(test, new ChartMemory.Sums(upper, lower), w);
      upper = next.upper();
      lower = next.lower();
      return ChartTests.sumsSignal(test, next);
    }

    @Override
    void clear() {
      upper = head;
      lower = head;
    }
  }

  private static final class Remembered extends RunningTest {
    private final ChartTest test;
    private ChartMemory memory;

    Remembered(ChartTest test) {
      this.test = test;
      this.memory = ChartTests.start(test);
    }

    @Override
    int take(double w, long part, boolean follows) {
      memory = ChartTests.next(test, memory, w, part, follows);
      return ChartTests.signal(test, memory);
    }

    @Override
    void clear() {
      memory = ChartTests.start(test);
    }
  }
}

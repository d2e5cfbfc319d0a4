package org.borewarden.rules.watch;

import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;

/**
 * The tests of {@link ChartTest} one bore at a time: what they remember and on which side they
 * signal. Pure; the cost of a bore is the same however long the stream is.
 */
final class ChartTests {
  private ChartTests() {}

  static ChartMemory start(ChartTest test) {
    if (test instanceof ChartTest.Ewma) {
      return ChartMemory.Average.NONE;
    }
    if (test instanceof ChartTest.Cusum cusum) {
      double head = cusum.headStart() * cusum.limit();
      return new ChartMemory.Sums(head, head);
    }
    if (test instanceof SubgroupTest) {
      return ChartMemory.Group.NONE;
    }
    if (test instanceof SpreadTest) {
      return ChartMemory.Differences.NONE;
    }
    if (test instanceof LevelTest) {
      return test instanceof LevelTest.PreControl
          ? ChartMemory.Zones.NONE
          : ChartMemory.Recent.NONE;
    }
    return overSteps(test) ? ChartMemory.Steps.NONE : ChartMemory.Window.NONE;
  }

  private static boolean overSteps(ChartTest test) {
    return test instanceof ChartTest.Trend
        || test instanceof ChartTest.Alternating
        || test instanceof ChartTest.Repeats;
  }

  /**
   * What is remembered after one bore more.
   *
   * @param w the bore in sigmas from the centre; in picometres for tests that need no sigma
   * @param part its place in cutting order
   * @param follows whether it is of the next measured part after the one before
   */
  static ChartMemory next(
      ChartTest test, ChartMemory memory, double w, long part, boolean follows) {
    if (memory instanceof ChartMemory.Window window) {
      return window(window, w, distance(test));
    }
    if (memory instanceof ChartMemory.Steps steps) {
      return steps(test, steps, w);
    }
    if (memory instanceof ChartMemory.Average average && test instanceof ChartTest.Ewma ewma) {
      return average(ewma, average, w);
    }
    if (memory instanceof ChartMemory.Sums sums && test instanceof ChartTest.Cusum cusum) {
      return sums(cusum, sums, w);
    }
    if (memory instanceof ChartMemory.Differences before && test instanceof SpreadTest spread) {
      return differences(spread, before, w);
    }
    if (memory instanceof ChartMemory.Group group && test instanceof SubgroupTest subgroup) {
      return SubgroupTests.next(subgroup, group, w, follows);
    }
    if (memory instanceof ChartMemory.Zones zones && test instanceof LevelTest.PreControl pre) {
      return LevelTests.zoned(pre, zones, w);
    }
    if (memory instanceof ChartMemory.Recent recent && test instanceof LevelTest level) {
      return LevelTests.next(LevelTests.window(level), recent, w, part);
    }
    throw mixed(test, memory);
  }

  static ChartMemory.Average average(ChartTest.Ewma ewma, ChartMemory.Average before, double w) {
    return new ChartMemory.Average(
        before.count() + 1, ewma.weight() * w + (1 - ewma.weight()) * before.value());
  }

  static ChartMemory.Sums sums(ChartTest.Cusum cusum, ChartMemory.Sums before, double w) {
    return new ChartMemory.Sums(
        Math.max(0, before.upper() + w - cusum.slack()),
        Math.max(0, before.lower() - w - cusum.slack()));
  }

  private static ChartMemory.Differences differences(
      SpreadTest test, ChartMemory.Differences before, double w) {
    if (!before.seen()) {
      return new ChartMemory.Differences(true, w, 0);
    }
    double step = w - before.last();
    double value =
        test instanceof SpreadTest.Spreading spreading
            ? Math.max(0, before.value() + step * step / 2 - spreading.slack())
            : Math.abs(step);
    return new ChartMemory.Differences(true, w, value);
  }

  private static double limit(SpreadTest test) {
    return test instanceof SpreadTest.Spreading spreading
        ? spreading.limit()
        : ((SpreadTest.MovingRange) test).sigmas();
  }

  private static IllegalArgumentException mixed(ChartTest test, ChartMemory memory) {
    return new IllegalArgumentException(test + " has not the memory " + memory);
  }

  static double distance(ChartTest test) {
    if (test instanceof ChartTest.Beyond beyond) {
      return beyond.sigmas();
    }
    if (test instanceof ChartTest.NearCentre near) {
      return near.sigmas();
    }
    return test instanceof ChartTest.BothSides both ? both.sigmas() : 0;
  }

  static ChartMemory.Window window(ChartMemory.Window before, double w, double distance) {
    return new ChartMemory.Window(
        before.above() << 1 | (w > distance ? 1 : 0),
        before.below() << 1 | (w < -distance ? 1 : 0),
        Math.min(before.seen() + 1, ChartTest.LONGEST));
  }

  static ChartMemory.Steps steps(ChartTest test, ChartMemory.Steps before, double value) {
    boolean first = before.length() == 0;
    int direction = first ? 0 : Double.compare(value, before.last());
    boolean goesOn = !first && goesOn(test, before, direction);
    int afresh = first || test instanceof ChartTest.Repeats || direction == 0 ? 1 : 2;
    int length = goesOn ? Math.min(before.length() + 1, ChartTest.LONGEST) : afresh;
    return new ChartMemory.Steps(value, direction, length);
  }

  private static boolean goesOn(ChartTest test, ChartMemory.Steps before, int direction) {
    if (test instanceof ChartTest.Repeats) {
      return direction == 0;
    }
    int expected = test instanceof ChartTest.Trend ? before.direction() : -before.direction();
    return direction != 0 && (before.length() == 1 || direction == expected);
  }

  /**
   * Whether the newest bore gives a signal, and where.
   *
   * @return 1 above the centre or upward, -1 below or downward, {@link #NEITHER} for a signal
   *     without a side, 0 for none
   */
  static int signal(ChartTest test, ChartMemory memory) {
    if (memory instanceof ChartMemory.Window window) {
      return windowSignal(test, window);
    }
    if (memory instanceof ChartMemory.Steps steps) {
      return stepsSignal(test, steps);
    }
    if (memory instanceof ChartMemory.Average average && test instanceof ChartTest.Ewma ewma) {
      return averageSignal(ewma, average);
    }
    if (memory instanceof ChartMemory.Sums sums && test instanceof ChartTest.Cusum cusum) {
      return sumsSignal(cusum, sums);
    }
    if (memory instanceof ChartMemory.Differences seen && test instanceof SpreadTest spread) {
      return seen.value() > limit(spread) ? 1 : 0;
    }
    if (memory instanceof ChartMemory.Group group) {
      return group.side();
    }
    if (memory instanceof ChartMemory.Zones zones) {
      return zones.side();
    }
    if (memory instanceof ChartMemory.Recent recent && test instanceof LevelTest level) {
      return LevelTests.signal(level, recent);
    }
    throw mixed(test, memory);
  }

  /** A signal that lies on no side. */
  static final int NEITHER = 2;

  static int averageSignal(ChartTest.Ewma ewma, ChartMemory.Average average) {
    return Math.abs(average.value()) > limit(ewma, average.count())
        ? (average.value() > 0 ? 1 : -1)
        : 0;
  }

  static int sumsSignal(ChartTest.Cusum cusum, ChartMemory.Sums sums) {
    boolean up = sums.upper() > cusum.limit();
    boolean down = sums.lower() > cusum.limit();
    return up && sums.upper() >= sums.lower() ? 1 : down ? -1 : 0;
  }

  static int windowSignal(ChartTest test, ChartMemory.Window window) {
    if (test instanceof ChartTest.Beyond beyond) {
      long newest = mask(beyond.of());
      if (reached(window.above() & newest, beyond.count())) {
        return 1;
      }
      return reached(window.below() & newest, beyond.count()) ? -1 : 0;
    }
    if (test instanceof ChartTest.NearCentre near) {
      long off = (window.above() | window.below()) & mask(near.bores());
      return window.seen() >= near.bores() && off == 0 ? NEITHER : 0;
    }
    if (test instanceof ChartTest.BothSides both) {
      long newest = mask(both.bores());
      boolean all = ((window.above() | window.below()) & newest) == newest;
      boolean mixed = (window.above() & newest) != 0 && (window.below() & newest) != 0;
      return all && mixed ? NEITHER : 0;
    }
    throw mixed(test, window);
  }

  private static boolean reached(long marks, int count) {
    return (marks & 1) != 0 && Long.bitCount(marks) >= count;
  }

  private static long mask(int bores) {
    return (1L << bores) - 1;
  }

  static int stepsSignal(ChartTest test, ChartMemory.Steps steps) {
    if (test instanceof ChartTest.Trend trend) {
      return steps.length() >= trend.bores() ? steps.direction() : 0;
    }
    if (test instanceof ChartTest.Alternating alternating) {
      return steps.length() >= alternating.bores() ? NEITHER : 0;
    }
    if (test instanceof ChartTest.Repeats repeats) {
      return steps.length() >= repeats.bores() ? NEITHER : 0;
    }
    throw mixed(test, steps);
  }

  /** The moving average's limit at the given bore, in sigmas: ISO 7870-6. */
  static double limit(ChartTest.Ewma ewma, long count) {
    double weight = ewma.weight();
    double grown = ewma.settled() ? 1 : 1 - Math.pow(1 - weight, 2.0 * count);
    return ewma.limit() * Math.sqrt(weight / (2 - weight) * grown);
  }
}

package org.borewarden.rules.part;

import org.borewarden.rules.measure.Length;

/** From where, and in which standard deviation, a chart counts. */
public sealed interface ChartScale {
  /** The fewest bores of a baseline. */
  int FEWEST = 10;

  /** The most bores of a baseline. */
  int MOST = 1_000;

  /** The bores as they are: for tests in which only their order counts. */
  record None() implements ChartScale {}

  /** The z of a pool, which is in sigmas already. */
  record Pooled() implements ChartScale {}

  /**
   * The feature's centre and a standard deviation that the rules give.
   *
   * @param sigma of one bore, above 0
   */
  record Given(Length sigma) implements ChartScale {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when sigma is not above 0
     */
    public Given {
      above(sigma);
    }
  }

  /**
   * Mean and standard deviation of the first bores, then frozen. Sigma is the mean moving range of
   * two over d2 = 1.128 (ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.2), and no range is taken
   * across a tool change. Limits from few bores are hardly to be believed: metrology.md 4.8.
   *
   * @param bores how many, 10 to 1000
   */
  record Baseline(int bores) implements ChartScale {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the bores are out of their range
     */
    public Baseline {
      Check.range("the bores of a baseline", bores, FEWEST, MOST);
    }
  }

  /**
   * A sloped centre line for a tool that wears: slope and sigma are given, the level follows by
   * recursive residuals (Brown, Durbin and Evans 1975), so that healthy wear is no signal and
   * another slope is one.
   *
   * @param slope change of the bore per part, negative where bores become smaller
   * @param sigma of one bore about the line, above 0
   */
  record Sloped(Length slope, Length sigma) implements ChartScale {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when sigma is not above 0
     */
    public Sloped {
      above(sigma);
    }
  }

  /**
   * Shares of the way from the centre to each limit, for pre-control: 1 is the limit.
   *
   * @param below from the centre down to the lower limit, above 0
   * @param over from the centre up to the upper limit, above 0
   */
  record Zones(Length below, Length over) implements ChartScale {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a limit is no way off the centre
     */
    public Zones {
      if (!below.isAbove(Length.ZERO) || !over.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("pre-control needs a centre between both limits");
      }
    }
  }

  private static void above(Length sigma) {
    if (!sigma.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("sigma must be above 0");
    }
  }
}

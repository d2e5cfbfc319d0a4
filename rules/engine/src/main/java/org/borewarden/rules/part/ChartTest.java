package org.borewarden.rules.part;

/**
 * What a chart looks for in the standardised bores of a stream: w = (bore - centre) / sigma, or the
 * recursive residual of a sloped line. Named by what is seen; the paper's number stands in the
 * reference only.
 */
public sealed interface ChartTest
    permits ChartTest.Beyond,
        ChartTest.Trend,
        ChartTest.Alternating,
        ChartTest.NearCentre,
        ChartTest.BothSides,
        ChartTest.Repeats,
        ChartTest.Ewma,
        ChartTest.Cusum,
        SpreadTest,
        LevelTest,
        SubgroupTest {
  /** The longest pattern, in bores. */
  int LONGEST = 60;

  /**
   * So many of so many bores lie farther than a number of sigmas from the centre, on one side, the
   * newest among them. 1 of 1 at 3: Shewhart's limit (ISO 7870-2; Nelson 1984, test 1). 2 of 3 at 2
   * and 4 of 5 at 1: Western Electric (1956) rules 2 and 3, Nelson tests 5 and 6. A window that is
   * not yet full may signal, as in Champ and Woodall (1987).
   *
   * @param count how many, 1 to {@code of}
   * @param of the length of the window, 1 to 60
   * @param sigmas the distance, 0 to 6; at 0 a bore exactly on the centre lies on neither side
   */
  record Beyond(int count, int of, double sigmas) implements ChartTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Beyond {
      Check.range("the window", of, 1, LONGEST);
      Check.range("the count beyond", count, 1, of);
      Check.range("the distance in sigmas", sigmas, 0, 6);
    }
  }

  /**
   * So many bores in a row that each lie above the one before, or each below. Equal neighbours end
   * it. Six: Nelson (1984) test 3.
   *
   * @param bores the bores, 3 to 60: one more than the steps between them
   */
  record Trend(int bores) implements ChartTest {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the bores are out of their range
     */
    public Trend {
      Check.range("the bores of a trend", bores, 3, LONGEST);
    }
  }

  /**
   * So many bores in a row that go up and down by turns. Fourteen: Nelson (1984) test 4.
   *
   * @param bores the bores, 4 to 60
   */
  record Alternating(int bores) implements ChartTest {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the bores are out of their range
     */
    public Alternating {
      Check.range("the bores that alternate", bores, 4, LONGEST);
    }
  }

  /**
   * So many bores in a row no farther from the centre than a number of sigmas: it is too large, or
   * two streams are mixed. Fifteen within 1: Nelson (1984) test 7.
   *
   * @param bores the bores, 2 to 60
   * @param sigmas the distance, over 0 to 6
   */
  record NearCentre(int bores, double sigmas) implements ChartTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public NearCentre {
      Check.range("the bores near the centre", bores, 2, LONGEST);
      Check.range("the distance in sigmas", sigmas, 0.1, 6);
    }
  }

  /**
   * So many bores in a row farther from the centre than a number of sigmas, some above and some
   * below: two levels by turns. Eight beyond 1: Nelson (1984) test 8.
   *
   * @param bores the bores, 2 to 60
   * @param sigmas the distance, over 0 to 6
   */
  record BothSides(int bores, double sigmas) implements ChartTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public BothSides {
      Check.range("the bores off the centre", bores, 2, LONGEST);
      Check.range("the distance in sigmas", sigmas, 0.1, 6);
    }
  }

  /**
   * So many equal bores in a row: a stuck gauge, or a button pressed without measuring.
   *
   * @param bores the bores, 2 to 60
   */
  record Repeats(int bores) implements ChartTest {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when the bores are out of their range
     */
    public Repeats {
      Check.range("the equal bores", bores, 2, LONGEST);
    }
  }

  /**
   * The exponentially weighted moving average (ISO 7870-6; Roberts 1959): z = weight w + (1 -
   * weight) z, from 0.
   *
   * @param weight lambda, 0.01 to 1
   * @param limit L, in standard deviations of z, 1 to 6
   * @param settled whether the limit is that of a long run from the first bore on, as in Lucas and
   *     Saccucci (1990); else it is exact for each bore and narrower at first
   */
  record Ewma(double weight, double limit, boolean settled) implements ChartTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Ewma {
      Check.range("the weight", weight, 0.01, 1);
      Check.range("the limit", limit, 1, 6);
    }
  }

  /**
   * The tabular cumulative sum, both sides (ISO 7870-4; Page 1954): C = max(0, C + w - slack), and
   * the same downward; a signal is C over the limit. With a head start both sums begin at that
   * share of the limit (Lucas and Crosier 1982).
   *
   * @param slack k, in sigmas: half the shift to be found soon, 0 to 3
   * @param limit h, in sigmas, 1 to 30
   * @param headStart the share of the limit, 0 to 0.9
   */
  record Cusum(double slack, double limit, double headStart) implements ChartTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Cusum {
      Check.range("the slack", slack, 0, 3);
      Check.range("the limit", limit, 1, 30);
      Check.range("the head start", headStart, 0, 0.9);
    }
  }
}

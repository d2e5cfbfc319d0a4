package org.borewarden.rules.part;

import java.util.Locale;

/**
 * Tests of subgroups: successive bores of consecutive measured parts of one stream, each in one
 * subgroup. Where a part is missing a subgroup begins anew; positions in one bore are none
 * (metrology.md 4.9).
 */
public sealed interface SubgroupTest extends ChartTest {
  /** The largest subgroup for which the constants are tabled. */
  int MOST = 25;

  /**
   * The size of a subgroup.
   *
   * @return in bores
   */
  int bores();

  /** What of a subgroup is charted. */
  enum Statistic {
    /** Its mean. */
    MEAN,
    /** Its range. */
    RANGE,
    /** Its standard deviation. */
    DEVIATION;

    /**
     * The word in files.
     *
     * @return lower case
     */
    public String key() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /**
   * The charts of X-bar, R and s (ISO 7870-2; ASTM E2587): limits at so many standard deviations of
   * the statistic about its expected value.
   *
   * @param bores the size of a subgroup, 2 to 25
   * @param of what is charted
   * @param sigmas the limit, 1 to 6
   */
  record Subgroup(int bores, Statistic of, double sigmas) implements SubgroupTest {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Subgroup {
      Check.range("the bores of a subgroup", bores, 2, MOST);
      Check.range("the limit", sigmas, 1, 6);
    }
  }

  /**
   * The acceptance control chart (ISO 7870-3, from memory): the level may wander while no more than
   * a small share of bores is beyond a limit. A subgroup's mean signals beyond the acceptance
   * control limits, which lie z_alpha sigma / sqrt(n) outside the acceptable process levels, and
   * these z_p sigma inside the limits of size.
   *
   * @param bores n, 1 to 25
   * @param low the lower acceptance control limit, in sigmas from the centre; hugely negative for
   *     none
   * @param high the upper one
   */
  record Allowed(int bores, double low, double high) implements SubgroupTest {
    /** Stands for a limit that is not there. */
    public static final double NONE = 1e9;

    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when the bores are out of their range or low is not below
     *     high
     */
    public Allowed {
      Check.range("the bores of a subgroup", bores, 1, MOST);
      if (!(low < high)) {
        throw new IllegalArgumentException("expected low below high, found " + low + ", " + high);
      }
    }
  }
}

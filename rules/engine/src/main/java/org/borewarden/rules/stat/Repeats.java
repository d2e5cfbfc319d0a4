package org.borewarden.rules.stat;

/**
 * How many equal readings in a row are too many, at a resolution: metrology.md 4.11. Two neighbours
 * of a normal process are equal with P0 = sum p_j^2 over the steps of the display, m in a row with
 * P0^(m - 1). The centre is taken in the middle of a step, where P0 is largest.
 */
public final class Repeats {
  /** Under so many steps of scatter equal neighbours are the rule, and say nothing. */
  public static final double FEWEST_STEPS = 0.4;

  /** The chance of so many equal ones that is taken for none. */
  private static final double CHANCE = 1e-4;

  private static final int FAR = 8;

  private Repeats() {}

  /**
   * The chance that two neighbours are equal.
   *
   * @param steps sigma over resolution
   * @return P0
   */
  public static double ofTwo(double steps) {
    double sum = 0;
    int reach = (int) Math.ceil(FAR * steps) + 1;
    for (int j = -reach; j <= reach; j++) {
      double p = Quantiles.normalTail((j - 0.5) / steps) - Quantiles.normalTail((j + 0.5) / steps);
      sum += p * p;
    }
    return sum;
  }

  /**
   * The count at which equal readings in a row are a finding.
   *
   * @param steps sigma over resolution, at least {@link #FEWEST_STEPS}
   * @return m, the smallest with P0^(m - 1) at most 1e-4
   */
  public static int count(double steps) {
    return 1 + (int) Math.ceil(Math.log(CHANCE) / Math.log(ofTwo(steps)));
  }
}

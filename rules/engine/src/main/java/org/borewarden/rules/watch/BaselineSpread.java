package org.borewarden.rules.watch;

import java.util.Arrays;
import java.util.function.DoubleSupplier;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.RangeConstants;

/**
 * How far off the limits of a baseline may be: of many baselines of the same length, each of single
 * bores with sigma from the mean moving range, the mean run length of a three-sigma chart that
 * follows (metrology.md 4.8).
 *
 * @param tenth the run length that one baseline in ten stays under
 * @param ninetieth the run length that one in ten exceeds
 */
public record BaselineSpread(double tenth, double ninetieth) {
  private static final double SIGMAS = 3;

  /**
   * Simulates.
   *
   * @param bores the length of a baseline, at least 2
   * @param normal gives standard normal deviates; seeded, so that the same call gives the same
   * @param baselines how many, at least 10
   * @return the spread
   */
  public static BaselineSpread of(int bores, DoubleSupplier normal, int baselines) {
    double[] lengths = new double[baselines];
    for (int i = 0; i < baselines; i++) {
      double sum = 0;
      double ranges = 0;
      double last = 0;
      for (int k = 0; k < bores; k++) {
        double value = normal.getAsDouble();
        sum += value;
        ranges += k == 0 ? 0 : Math.abs(value - last);
        last = value;
      }
      double mean = sum / bores;
      double sigma = ranges / (bores - 1) / RangeConstants.of(2).d2();
      lengths[i] =
          1
              / (Quantiles.normalTail(mean + SIGMAS * sigma)
                  + Quantiles.normalTail(SIGMAS * sigma - mean));
    }
    Arrays.sort(lengths);
    return new BaselineSpread(lengths[baselines / 10], lengths[baselines - 1 - baselines / 10]);
  }
}

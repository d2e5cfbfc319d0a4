package org.borewarden.rules.watch;

import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.stat.RangeConstants;

/** The tests of {@link SubgroupTest}: a signal stands until the next subgroup is complete. */
final class SubgroupTests {
  private SubgroupTests() {}

  static ChartMemory.Group next(
      SubgroupTest test, ChartMemory.Group before, double w, boolean follows) {
    boolean fresh = before.count() == 0 || !follows;
    int count = fresh ? 1 : before.count() + 1;
    double step = fresh ? 0 : w - before.mean();
    double mean = fresh ? w : before.mean() + step / count;
    double squares = fresh ? 0 : before.squares() + step * (w - mean);
    double low = fresh ? w : Math.min(before.low(), w);
    double high = fresh ? w : Math.max(before.high(), w);
    return count < test.bores()
        ? new ChartMemory.Group(count, mean, squares, low, high, before.side())
        : new ChartMemory.Group(0, 0, 0, 0, 0, side(test, mean, squares, high - low));
  }

  private static int side(SubgroupTest test, double mean, double squares, double range) {
    if (test instanceof SubgroupTest.Allowed allowed) {
      return mean > allowed.high() ? 1 : mean < allowed.low() ? -1 : 0;
    }
    SubgroupTest.Subgroup subgroup = (SubgroupTest.Subgroup) test;
    RangeConstants of = RangeConstants.of(subgroup.bores());
    return switch (subgroup.of()) {
      case MEAN -> outside(mean * Math.sqrt(subgroup.bores()), 0, subgroup.sigmas());
      case RANGE -> outside(range, of.d2(), subgroup.sigmas() * of.d3());
      case DEVIATION ->
          outside(
              Math.sqrt(squares / (subgroup.bores() - 1)),
              of.c4(),
              subgroup.sigmas() * Math.sqrt(1 - of.c4() * of.c4()));
    };
  }

  private static int outside(double value, double centre, double width) {
    return value > centre + width ? 1 : value < centre - width ? -1 : 0;
  }
}

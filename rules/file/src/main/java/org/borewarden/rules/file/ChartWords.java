package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;

/** Says a chart in words, for {@code check}. */
final class ChartWords {
  private ChartWords() {}

  static String of(WatchRule.Chart chart, Feature feature) {
    return test(chart.test()) + scale(chart, feature);
  }

  static String test(ChartTest test) {
    if (test instanceof ChartTest.Beyond b) {
      String bores =
          b.of() == 1
              ? "a bore"
              : b.count() == b.of()
                  ? b.count() + " bores in a row"
                  : b.count() + " of " + b.of() + " bores";
      String far = " more than " + number(b.sigmas()) + " sigma from the centre";
      return bores + far + (b.of() == 1 ? "" : " on one side");
    }
    if (test instanceof ChartTest.Trend t) {
      return t.bores() + " bores in a row, each larger or each smaller than the last";
    }
    if (test instanceof ChartTest.Alternating a) {
      return a.bores() + " bores in a row up and down by turns";
    }
    if (test instanceof ChartTest.NearCentre n) {
      return n.bores() + " bores in a row within " + number(n.sigmas()) + " sigma of the centre";
    }
    if (test instanceof ChartTest.BothSides b) {
      return b.bores()
          + " bores in a row more than "
          + number(b.sigmas())
          + " sigma off the centre, on both sides";
    }
    if (test instanceof ChartTest.Ewma e) {
      return "moving average (EWMA) of weight "
          + number(e.weight())
          + " beyond "
          + number(e.limit())
          + " of its standard deviations";
    }
    if (test instanceof ChartTest.Cusum c) {
      return "cumulative sum (CUSUM) with slack "
          + number(c.slack())
          + " beyond "
          + number(c.limit())
          + " sigma"
          + (c.headStart() == 0 ? "" : ", head start " + number(100 * c.headStart()) + " %");
    }
    if (test instanceof ChartTest.Repeats r) {
      return r.bores() + " equal bores in a row";
    }
    return test instanceof SubgroupTest subgroup ? subgroup(subgroup) : spreadOrLevel(test);
  }

  private static String subgroup(SubgroupTest test) {
    if (test instanceof SubgroupTest.Allowed allowed) {
      String what = allowed.bores() == 1 ? "a bore" : "the mean of " + allowed.bores() + " bores";
      String low = allowed.low() <= -SubgroupTest.Allowed.NONE / 2 ? "" : rounded(allowed.low());
      String high = allowed.high() >= SubgroupTest.Allowed.NONE / 2 ? "" : rounded(allowed.high());
      String and = low.isEmpty() || high.isEmpty() ? "" : " or ";
      return "acceptance control, " + what + " beyond " + low + and + high + " sigma";
    }
    SubgroupTest.Subgroup subgroup = (SubgroupTest.Subgroup) test;
    return "the "
        + (subgroup.of() == SubgroupTest.Statistic.DEVIATION
            ? "standard deviation"
            : subgroup.of().key())
        + " of "
        + subgroup.bores()
        + " consecutive parts beyond "
        + number(subgroup.sigmas())
        + " of its standard deviations";
  }

  private static String spreadOrLevel(ChartTest test) {
    if (test instanceof SpreadTest.MovingRange range) {
      return "two bores in a row more than " + number(range.sigmas()) + " sigma apart";
    }
    if (test instanceof SpreadTest.Spreading spreading) {
      return "the spread grows, sum of squares with slack "
          + number(spreading.slack())
          + " beyond "
          + number(spreading.limit());
    }
    if (test instanceof LevelTest.Jump jump) {
      return "a step, the mean of "
          + jump.bores()
          + " bores more than "
          + number(jump.sigmas())
          + " of its standard deviations from that of the "
          + jump.bores()
          + " before";
    }
    if (test instanceof LevelTest.Drift drift) {
      return "the median slope over "
          + drift.bores()
          + " bores, "
          + FeatureWords.percent(drift.probability());
    }
    return "pre-control, begins with "
        + ((LevelTest.PreControl) test).greens()
        + " in a row in the inner half; five are so 49 % of the time at Cp 1.0, 79 % at 1.33";
  }

  private static String scale(WatchRule.Chart chart, Feature feature) {
    Unit unit = feature.unit();
    ChartScale scale = chart.scale();
    if (chart.test() instanceof LevelTest.Drift drift && drift.wear().picometres() != 0) {
      return ", other than " + ShownLength.deviation(drift.wear(), unit) + " per part";
    }
    if (scale instanceof ChartScale.Given given) {
      String centre = feature.centre().map(c -> ShownLength.size(c, unit)).orElse("?");
      return ", centre " + centre + ", sigma " + ShownLength.size(given.sigma(), unit);
    }
    if (scale instanceof ChartScale.Sloped sloped) {
      return ", about a line of "
          + ShownLength.deviation(sloped.slope(), unit)
          + " per part, sigma "
          + ShownLength.size(sloped.sigma(), unit);
    }
    return scale instanceof ChartScale.Baseline baseline
        ? ", centre and sigma from the first " + baseline.bores() + " bores"
        : "";
  }

  private static String rounded(double value) {
    return BigDecimal.valueOf(value).setScale(2, RoundingMode.HALF_EVEN).toPlainString();
  }

  private static String number(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }
}

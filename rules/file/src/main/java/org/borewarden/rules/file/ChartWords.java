package org.borewarden.rules.file;

import java.math.BigDecimal;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;

/** Says a chart in words, for {@code check}. */
final class ChartWords {
  private ChartWords() {}

  static String of(WatchRule.Chart chart, Feature feature) {
    return test(chart.test()) + scale(chart.scale(), feature);
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
    return ((ChartTest.Repeats) test).bores() + " equal bores in a row";
  }

  private static String scale(ChartScale scale, Feature feature) {
    Unit unit = feature.unit();
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

  private static String number(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }
}

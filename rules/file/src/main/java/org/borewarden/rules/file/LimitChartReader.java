package org.borewarden.rules.file;

import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Quantiles;

/** Reads the charts that follow from the limits of size: acceptance control and pre-control. */
final class LimitChartReader {
  private final Optional<Limits> limits;
  private final Optional<Length> centre;

  LimitChartReader(Optional<Limits> limits, Optional<Length> centre) {
    this.limits = limits;
    this.centre = centre;
  }

  static boolean reads(String kind) {
    return kind.equals("acceptance") || kind.equals("pre-control");
  }

  Optional<WatchRule> read(String kind, String id, Fields fields, Action action) {
    if (limits.isEmpty()) {
      return Optional.empty();
    }
    if (centre.isEmpty()) {
      return fields
          .self()
          .refuse("expected a centre at the feature, which has one limit only, found nothing");
    }
    return kind.equals("acceptance")
        ? acceptance(id, fields, limits.get(), centre.get(), action)
        : preControl(id, fields, limits.get(), centre.get(), action);
  }

  private static Optional<WatchRule> acceptance(
      String id, Fields fields, Limits limits, Length centre, Action action) {
    int bores = fields.orElse("bores", Scalars.whole(1, SubgroupTest.MOST), 1);
    Optional<Length> sigma =
        fields.required("sigma", Sizes.positive(WatchReader.LARGEST_SIGMA, "1.1 um"));
    double beyond = fields.orElse("beyond", Scalars.percent("0.01", "20"), 0.001);
    double risk = fields.orElse("risk", Scalars.percent("0.1", "20"), 0.05);
    if (sigma.isEmpty()) {
      return Optional.empty();
    }
    // The acceptable level lies z_p sigma inside the limit, the control limit z_alpha outside it.
    double inside = Quantiles.normal(1 - beyond) - Quantiles.normal(1 - risk) / Math.sqrt(bores);
    double levels = Quantiles.normal(1 - beyond);
    double unit = sigma.get().picometres();
    double low = limits.lower().map(l -> off(l, centre) / unit).orElse(-SubgroupTest.Allowed.NONE);
    double high = limits.upper().map(l -> off(l, centre) / unit).orElse(SubgroupTest.Allowed.NONE);
    if (high - low < 2 * levels) {
      return fields.refuse(
          "sigma", "expected less: no level keeps so small a share beyond both limits");
    }
    return Optional.of(
        new WatchRule.Chart(
            id,
            new SubgroupTest.Allowed(bores, low + inside, high - inside),
            new ChartScale.Given(sigma.get()),
            action));
  }

  private static Optional<WatchRule> preControl(
      String id, Fields fields, Limits limits, Length centre, Action action) {
    Optional<Length> below = limits.lower().map(centre::minus).filter(LimitChartReader::isAWay);
    Optional<Length> over =
        limits.upper().map(l -> l.minus(centre)).filter(LimitChartReader::isAWay);
    if (below.isEmpty() || over.isEmpty()) {
      return fields.self().refuse("expected a feature with both limits and a centre between them");
    }
    int greens = fields.orElse("greens", Scalars.whole(1, 20), 5);
    return Optional.of(
        new WatchRule.Chart(
            id,
            new LevelTest.PreControl(greens),
            new ChartScale.Zones(below.get(), over.get()),
            action));
  }

  private static boolean isAWay(Length way) {
    return way.isAbove(Length.ZERO);
  }

  private static double off(Length limit, Length centre) {
    return limit.minus(centre).picometres();
  }
}

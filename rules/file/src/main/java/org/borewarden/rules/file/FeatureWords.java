package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.QuantileCapability;

/** Says in a quality engineer's words what the rules were understood to be. */
public final class FeatureWords {
  private FeatureWords() {}

  /**
   * All features.
   *
   * @param rules the rules
   * @return lines of text; those that belong to a feature are indented under it
   */
  public static List<String> of(RuleSet rules) {
    List<String> lines = new ArrayList<>();
    for (Feature feature : rules.features()) {
      lines.addAll(of(feature));
      rules
          .shift(feature.id())
          .ifPresent(shift -> lines.addAll(ShiftReader.words(shift, feature.unit())));
      rules
          .gauge(feature.gauge())
          .flatMap(GaugeRules::head)
          .ifPresent(
              head ->
                  head.cannotProve(feature.measuring()).forEach(words -> lines.add("  " + words)));
    }
    lines.addAll(pools(rules));
    rules.gauges().forEach(gauge -> lines.addAll(GaugeWords.of(gauge, rules)));
    return List.copyOf(lines);
  }

  /**
   * The streams that features share.
   *
   * @param rules the rules
   * @return each pool's name, and indented under it its watches
   */
  public static List<String> pools(RuleSet rules) {
    return rules.pools().stream()
        .flatMap(pool -> PoolReader.words(pool, rules.features()).stream())
        .toList();
  }

  /**
   * One feature.
   *
   * @param feature the feature
   * @return its name, and indented under it its limits, decision rule and watches
   */
  public static List<String> of(Feature feature) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "feature " + feature.id() + ", number " + feature.number() + ", part " + feature.part());
    lines.add("  limits: " + limits(feature));
    lines.add("  decision: " + decision(feature) + party(feature));
    UncertaintyWords.of(feature).forEach(line -> lines.add("  " + line));
    envelope(feature).ifPresent(lines::add);
    feature.tool().ifPresent(tool -> lines.add("  cut by tool " + tool));
    if (feature.sampledEvery() > 1) {
      lines.add("  one part in " + feature.sampledEvery() + " is measured");
    }
    StreamReader.words(feature).ifPresent(words -> lines.add("  " + words));
    lines.addAll(PlanWords.of(feature));
    feature.limits().lower().ifPresent(l -> lines.add(side("undersize", feature.undersize())));
    feature.limits().upper().ifPresent(l -> lines.add(side("oversize", feature.oversize())));
    feature.watches().forEach(watch -> lines.addAll(watch(watch, feature)));
    if (feature.watches().isEmpty()) {
      lines.add("  no watch: drift is not looked for");
    } else if (feature.watches().stream().allMatch(FeatureWords::onlyTells)) {
      lines.add("  no watch that finds anything: drift is not looked for");
    }
    return lines;
  }

  private static boolean onlyTells(WatchRule watch) {
    return watch instanceof WatchRule.Capability || watch instanceof WatchRule.FormCapability;
  }

  private static String limits(Feature feature) {
    Unit unit = feature.unit();
    Limits limits = feature.limits();
    Optional<String> low = limits.lower().map(l -> ShownLength.size(l, unit));
    Optional<String> high = limits.upper().map(l -> ShownLength.size(l, unit));
    String range =
        low.isPresent() && high.isPresent()
            ? low.get() + " to " + high.get()
            : low.map(l -> "at least " + l).or(() -> high.map(h -> "at most " + h)).orElse("");
    String nominal = "nominal " + ShownLength.size(feature.nominal(), unit);
    String deviations =
        String.join(
            " ",
            limits.upper().map(l -> off(l, feature)).orElse("no upper"),
            limits.lower().map(l -> off(l, feature)).orElse("no lower"));
    String centre =
        feature.centre().map(c -> ", centre " + ShownLength.size(c, unit)).orElse(", no centre");
    return range + " (" + nominal + ", " + deviations + centre + ")";
  }

  private static String off(Length limit, Feature feature) {
    return ShownLength.deviation(limit.minus(feature.nominal()), feature.unit());
  }

  private static String decision(Feature feature) {
    Unit unit = feature.unit();
    DecisionRule rule = feature.rule();
    if (rule instanceof DecisionRule.Guard guard) {
      List<String> bands = new ArrayList<>();
      feature.limits().lower().ifPresent(l -> bands.add(band(guard.lower(), unit, "lower")));
      feature.limits().upper().ifPresent(l -> bands.add(band(guard.upper(), unit, "upper")));
      return "guard band of "
          + String.join(" and ", bands)
          + " limit, from "
          + UncertaintyWords.expanded(guard.uncertainty(), unit);
    }
    if (rule instanceof DecisionRule.Proven proven) {
      return "proven at "
          + percent(proven.probability())
          + ", u = "
          + ShownLength.size(proven.uncertainty().standard(), unit);
    }
    return rule.stated()
        .map(u -> "simple acceptance, beside it " + UncertaintyWords.expanded(u, unit))
        .orElse("simple acceptance: no uncertainty is stated");
  }

  private static String party(Feature feature) {
    return feature.assurance().party() == Party.CUSTOMER
        ? "; judged for the customer, who may reject only what is proven out"
        : "";
  }

  private static Optional<String> envelope(Feature feature) {
    return feature.asksEnvelope()
        ? Optional.of(
            "  caution: the drawing (ASME) asks for the envelope at "
                + ShownLength.size(feature.limits().lower().orElseThrow(), feature.unit())
                + " too, which a two- or three-point head cannot prove")
        : Optional.empty();
  }

  private static String band(Length width, Unit unit, String side) {
    return UncertaintyWords.rounded(width, unit) + " at the " + side;
  }

  static String percent(double probability) {
    BigDecimal percent = BigDecimal.valueOf(probability).movePointRight(2).stripTrailingZeros();
    return percent.toPlainString() + " %";
  }

  private static String side(String name, Feature.OutOfLimit side) {
    return "  " + name + ": " + ActionReader.word(side.disposition()) + ", " + does(side.action());
  }

  private static List<String> watch(WatchRule watch, Feature feature) {
    if (watch instanceof WatchRule.OneSide run) {
      String centre =
          "  watch " + run.id() + ": " + run.count() + " bores in a row on one side of ";
      String size = feature.centre().map(c -> ShownLength.size(c, feature.unit())).orElse("?");
      return List.of(centre + size + ": " + does(run.action()));
    }
    if (watch instanceof WatchRule.Chart chart) {
      String head = "  watch " + chart.id() + ": ";
      return List.of(head + ChartWords.of(chart, feature) + ": " + does(chart.action()));
    }
    if (watch instanceof WatchRule.ToolOffset offset) {
      return List.of(
          "  watch "
              + offset.id()
              + ": advice in steps of "
              + ShownLength.size(offset.step(), feature.unit())
              + (offset.onRadius() ? " on radius" : " on diameter")
              + (offset.reversed() ? ", positive makes a bore smaller" : "")
              + "; an offset that shows otherwise after "
              + offset.proofBores()
              + " bores: "
              + does(offset.action()));
    }
    if (watch instanceof WatchRule.Capability capability) {
      String head = "  watch " + capability.id() + ": ";
      return List.of(
          head
              + "capability over whole tool lives"
              + (capability.window().isPresent()
                  ? " and over the last " + capability.window().getAsInt() + " bores"
                  : "")
              + ", "
              + percent(capability.confidence()));
    }
    if (watch instanceof WatchRule.FormCapability form) {
      return List.of(
          "  watch "
              + form.id()
              + ": capability of "
              + form.kind().key()
              + " by quantiles over whole tool lives, from "
              + QuantileCapability.FEWEST
              + " bores on, "
              + percent(form.confidence()));
    }
    List<String> lines = new ArrayList<>();
    if (watch instanceof WatchRule.Forecast forecast) {
      String head = "  watch " + forecast.id() + ": ";
      forecast
          .alertWithin()
          .ifPresent(n -> lines.add(head + outWithin(n, forecast) + does(forecast.alert())));
      forecast
          .holdWithin()
          .ifPresent(n -> lines.add(head + outWithin(n, forecast) + does(forecast.hold())));
      lines.add(head + method(forecast, feature.unit()));
    }
    return lines;
  }

  private static String outWithin(int parts, WatchRule.Forecast forecast) {
    String bores =
        forecast.successive() == 1 ? "1 bore says" : forecast.successive() + " bores say";
    return "out within " + counted(parts) + ", " + bores + " so: ";
  }

  private static String method(WatchRule.Forecast forecast, Unit unit) {
    String sigma =
        forecast
            .sigma()
            .map(s -> "sigma " + ShownLength.size(s, unit))
            .orElse("sigma from the bores themselves");
    return "straight line from "
        + forecast.minimumBores()
        + " bores on, "
        + percent(forecast.probability())
        + ", "
        + sigma
        + ", lead "
        + counted(forecast.lead())
        + forecast.prior().map(prior -> PriorReader.words(prior, unit)).orElse("");
  }

  private static String counted(int parts) {
    return parts == 1 ? "1 part" : parts + " parts";
  }

  static String does(Action action) {
    if (action.level() != Level.HOLD) {
      return ActionReader.word(action.level());
    }
    String stop =
        action.kind() == StopKind.END_OF_PART
            ? "hold at the end of the part"
            : "hold at the next safe point";
    return action
        .watchOnlyUntil()
        .map(day -> stop + ", watch-only until " + day + " (the permit stays)")
        .orElse(stop);
  }
}

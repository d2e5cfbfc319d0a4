package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Keys;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.stat.Repeats;

/** Reads the settings of the charts over single bores. */
final class ChartReader {
  /** The largest slope, per part. */
  private static final Length STEEPEST = new Length(1_000_000_000L);

  private final boolean hasCentre;

  ChartReader(boolean hasCentre) {
    this.hasCentre = hasCentre;
  }

  /** The keys of a kind of chart. */
  static Keys keys(String kind) {
    return switch (kind) {
      case "beyond" -> RulesKeys.BEYOND;
      case "trend" -> RulesKeys.TREND;
      case "alternating" -> RulesKeys.ALTERNATING;
      case "near-centre" -> RulesKeys.NEAR_CENTRE;
      case "both-sides" -> RulesKeys.BOTH_SIDES;
      case "repeats" -> RulesKeys.REPEATS;
      case "ewma" -> RulesKeys.EWMA;
      case "cusum" -> RulesKeys.CUSUM;
      case "moving-range" -> RulesKeys.MOVING_RANGE;
      case "spread" -> RulesKeys.SPREAD;
      case "step" -> RulesKeys.STEP;
      case "drift" -> RulesKeys.DRIFT;
      case "subgroup" -> RulesKeys.SUBGROUP;
      case "acceptance" -> RulesKeys.ACCEPTANCE;
      case "pre-control" -> RulesKeys.PRE_CONTROL;
      default -> throw new IllegalArgumentException("no chart " + kind);
    };
  }

  /** What the chart looks for; its defaults are those of the papers that the page names. */
  static ChartTest test(String kind, Fields fields) {
    return switch (kind) {
      case "beyond" -> beyond(fields);
      case "trend" -> new ChartTest.Trend(bores(fields, 3, 6));
      case "alternating" -> new ChartTest.Alternating(bores(fields, 4, 14));
      case "near-centre" -> new ChartTest.NearCentre(bores(fields, 2, 15), sigmas(fields, 1));
      case "both-sides" -> new ChartTest.BothSides(bores(fields, 2, 8), sigmas(fields, 1));
      case "repeats" -> new ChartTest.Repeats(repeats(fields));
      case "ewma" ->
          new ChartTest.Ewma(
              fields.orElse("weight", Scalars.decimal("0.01", "1"), 0.2),
              fields.orElse("limit", Scalars.decimal("1", "6"), 2.86),
              false);
      case "cusum" ->
          new ChartTest.Cusum(
              fields.orElse("slack", Scalars.decimal("0", "3"), 0.5),
              fields.orElse("limit", Scalars.decimal("1", "30"), 4.77),
              fields.orElse("head-start", Scalars.decimal("0", "0.9"), 0.0));
      case "moving-range" ->
          new SpreadTest.MovingRange(fields.orElse("sigmas", Scalars.decimal("1", "10"), 3.686));
      case "spread" ->
          new SpreadTest.Spreading(
              fields.orElse("slack", Scalars.decimal("1.01", "10"), 1.85),
              fields.orElse("limit", Scalars.decimal("1", "100"), 12.0));
      case "step" ->
          new LevelTest.Jump(
              fields.orElse("bores", Scalars.whole(1, LevelTest.LONGEST_WINDOW / 2), 3),
              fields.orElse("sigmas", Scalars.decimal("1", "10"), 3.5));
      case "drift" -> drift(fields);
      case "subgroup" ->
          new SubgroupTest.Subgroup(
              fields.orElse("bores", Scalars.whole(2, SubgroupTest.MOST), 5),
              fields.orElse(
                  "of",
                  Scalars.word(
                      Arrays.asList(SubgroupTest.Statistic.values()), SubgroupTest.Statistic::key),
                  SubgroupTest.Statistic.MEAN),
              fields.orElse("sigmas", Scalars.decimal("1", "6"), 3.0));
      default -> throw new IllegalArgumentException("no chart " + kind);
    };
  }

  private static ChartTest beyond(Fields fields) {
    int count = fields.orElse("bores", Scalars.whole(1, ChartTest.LONGEST), 1);
    int of = fields.orElse("of", Scalars.whole(1, ChartTest.LONGEST), count);
    if (of < count) {
      fields.refuse("of", "expected at least bores, " + count + ", found " + of);
      return new ChartTest.Beyond(count, count, 3);
    }
    return new ChartTest.Beyond(count, of, fields.orElse("sigmas", Scalars.decimal("0", "6"), 3.0));
  }

  private static int bores(Fields fields, int least, int usual) {
    return fields.orElse("bores", Scalars.whole(least, ChartTest.LONGEST), usual);
  }

  /** How many depends on the gauge's resolution and the scatter: there is no usual number. */
  private static int repeats(Fields fields) {
    if (fields.has("bores") == (fields.has("scatter") || fields.has("resolution"))) {
      String found = fields.has("bores") ? "both" : "neither";
      fields.self().refuse("expected bores, or scatter and resolution, found " + found);
      return 2;
    }
    if (fields.has("bores")) {
      return fields.required("bores", Scalars.whole(2, ChartTest.LONGEST)).orElse(2);
    }
    Optional<Length> scatter = fields.required("scatter", positive("1.1 um"));
    Optional<Length> resolution = fields.required("resolution", positive("1 um"));
    if (scatter.isEmpty() || resolution.isEmpty()) {
      return 2;
    }
    double steps = (double) scatter.get().picometres() / resolution.get().picometres();
    if (steps < Repeats.FEWEST_STEPS) {
      fields.refuse(
          "scatter",
          "expected at least 0.4 of the resolution: under it equal bores are the rule and say"
              + " nothing");
      return 2;
    }
    return Math.max(2, Repeats.count(steps));
  }

  private static Reader<Length> positive(String example) {
    return Sizes.positive(WatchReader.LARGEST_SIGMA, example);
  }

  private static ChartTest drift(Fields fields) {
    int bores =
        fields.orElse(
            "bores", Scalars.whole(LevelTest.Drift.SHORTEST_WINDOW, LevelTest.LONGEST_WINDOW), 24);
    double probability = fields.orElse("probability", Scalars.percent("80", "99.99"), 0.99);
    Optional<Length> wear =
        fields.optional("wear", Sizes.deviation()).flatMap(w -> slope(fields, w));
    return new LevelTest.Drift(bores, probability, wear.orElse(Length.ZERO));
  }

  private static double sigmas(Fields fields, double usual) {
    return fields.orElse("sigmas", Scalars.decimal("0.1", "6"), usual);
  }

  /** Where no sigma is needed there is no scale; else exactly one way to it must stand. */
  ChartScale scale(String kind, Fields fields) {
    if (!keys(kind).known().contains("sigma")) {
      return new ChartScale.None();
    }
    Optional<Length> sigma = fields.optional("sigma", positive("1.1 um"));
    Optional<Length> wear =
        fields.optional("wear", Sizes.deviation()).flatMap(w -> slope(fields, w));
    Optional<Integer> baseline =
        fields.optional("baseline", Scalars.whole(ChartScale.FEWEST, ChartScale.MOST));
    if (fields.has("sigma") == fields.has("baseline")) {
      String found = fields.has("sigma") ? "both" : "neither";
      fields.self().refuse("expected sigma or baseline, found " + found);
    }
    if (fields.has("wear") && fields.has("baseline")) {
      fields.refuse(
          "wear", "expected no wear beside a baseline: a sloped line needs a given sigma");
    }
    if (fields.has("sigma") && !fields.has("wear") && !hasCentre) {
      fields
          .self()
          .refuse("expected a centre at the feature, which has one limit only, found nothing");
    }
    if (baseline.isPresent()) {
      return new ChartScale.Baseline(baseline.get());
    }
    return sigma.isPresent() ? given(sigma.get(), wear) : new ChartScale.None();
  }

  private static ChartScale given(Length sigma, Optional<Length> wear) {
    return wear.<ChartScale>map(slope -> new ChartScale.Sloped(slope, sigma))
        .orElseGet(() -> new ChartScale.Given(sigma));
  }

  private static Optional<Length> slope(Fields fields, Written wear) {
    Length slope = wear.length();
    if (Math.abs(slope.picometres()) > STEEPEST.picometres()) {
      return fields.item("wear").flatMap(item -> tooSteep(item));
    }
    return Optional.of(slope);
  }

  private static Optional<Length> tooSteep(Item item) {
    return item.expected("a change per part of at most 1 mm either way");
  }
}

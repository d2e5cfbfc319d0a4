package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.watch.BaselineSpread;
import org.borewarden.rules.watch.RunLength;

/**
 * Says how soon the watches that are on are wrong, all together, and how far off the limits of a
 * baseline may be (metrology.md 4.6 and 4.8): by a seeded simulation of the classes that judge.
 */
public final class FalseSignalWords {
  private static final long SEED = 20_260_101;
  private static final int RUNS = 1_000;
  private static final int MOST_BORES = 5_000;
  private static final int BASELINES = 2_000;

  /** More false signals than one in so many bores is too many to be looked at. */
  private static final double TOO_SOON = 100;

  private FalseSignalWords() {}

  /**
   * The watches of all features and pools. Takes up to some seconds.
   *
   * @param rules the rules
   * @return lines of text; none where no chart is on
   */
  public static List<String> of(RuleSet rules) {
    List<String> lines = new ArrayList<>();
    Map<List<ChartTest>, String> known = new HashMap<>();
    for (Feature feature : rules.features()) {
      add(lines, known, feature.id(), feature.watches());
    }
    for (Pool pool : rules.pools()) {
      add(lines, known, "pool " + pool.id(), List.copyOf(pool.charts()));
    }
    if (!lines.isEmpty()) {
      lines.add(0, "false signals without any change, by simulation");
    }
    return List.copyOf(lines);
  }

  private static void add(
      List<String> lines, Map<List<ChartTest>, String> known, String of, List<WatchRule> watches) {
    List<ChartTest> tests =
        watches.stream().flatMap(FalseSignalWords::test).filter(FalseSignalWords::counts).toList();
    if (!tests.isEmpty()) {
      String how = known.computeIfAbsent(tests, FalseSignalWords::runLength);
      String watch = tests.size() == 1 ? "1 watch" : tests.size() + " watches together";
      lines.add("  " + of + ": " + watch + ", " + how);
    }
    List<String> aside =
        watches.stream()
            .filter(watch -> test(watch).anyMatch(test -> !counts(test)))
            .map(WatchRule::id)
            .toList();
    if (!aside.isEmpty()) {
      lines.add("  " + of + ": not counted: " + String.join(", ", aside));
    }
    watches.stream()
        .flatMap(FalseSignalWords::baseline)
        .distinct()
        .sorted()
        .forEach(bores -> lines.add("  " + of + ": " + baseline(bores)));
  }

  private static Stream<ChartTest> test(WatchRule watch) {
    if (watch instanceof WatchRule.Chart chart) {
      return Stream.of(chart.test());
    }
    // A run may be longer than a chart's window; then it is rarer than any other.
    return watch instanceof WatchRule.OneSide run && run.count() <= ChartTest.LONGEST
        ? Stream.of(new ChartTest.Beyond(run.count(), run.count(), 0))
        : Stream.empty();
  }

  /** What depends on the resolution or on the tolerance, or takes too long, is not simulated. */
  private static boolean counts(ChartTest test) {
    return !(test instanceof ChartTest.Repeats
        || test instanceof LevelTest.Drift
        || test instanceof LevelTest.PreControl
        || test instanceof SubgroupTest.Allowed);
  }

  private static Stream<Integer> baseline(WatchRule watch) {
    return watch instanceof WatchRule.Chart chart
            && chart.scale() instanceof ChartScale.Baseline baseline
        ? Stream.of(baseline.bores())
        : Stream.empty();
  }

  private static String runLength(List<ChartTest> tests) {
    SplittableRandom random = new SplittableRandom(SEED);
    RunLength length =
        RunLength.of(tests, RunLength.Level.STEADY, random::nextGaussian, RUNS, MOST_BORES);
    if (length.cut() > RUNS / 20) {
      return "rarer than one in " + whole(length.mean()) + " bores";
    }
    return "one in "
        + whole(length.mean())
        + " bores, +-"
        + whole(Math.max(1, 100 * length.error() / length.mean()))
        + " %"
        + (length.mean() < TOO_SOON ? "; caution: too often to be looked at, choose fewer" : "");
  }

  private static String baseline(int bores) {
    SplittableRandom random = new SplittableRandom(SEED);
    BaselineSpread spread = BaselineSpread.of(bores, random::nextGaussian, BASELINES);
    return "limits at 3 sigma from a baseline of "
        + bores
        + ": one in "
        + whole(spread.tenth())
        + " to one in "
        + whole(spread.ninetieth())
        + " bores (10 % to 90 % of baselines)"
        + (spread.tenth() < TOO_SOON ? "; caution: too short to be believed" : "");
  }

  private static String whole(double value) {
    return String.format(Locale.ROOT, "%.0f", value);
  }
}

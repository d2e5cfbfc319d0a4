package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Capability;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * Capability as a watch that finds nothing: metrology.md 4.12. Over tool lives by sums only, so
 * that a bore costs the same however many there were; over a window by the bores in it.
 */
final class CapabilityWatch {
  /** Under so many bores an index says nothing. */
  static final int FEWEST = 10;

  private CapabilityWatch() {}

  static WatchStep step(
      WatchRule.Capability rule, CapabilityState before, Feature feature, Bore bore) {
    CapabilityState.Life life = before.life();
    boolean setBack =
        life.open().count() > 0 && life.origin() + life.last() - bore.part() > Watches.LATE_PARTS;
    CapabilityState.Life base = setBack ? closedSegment(life) : life;
    boolean first = base.open().count() == 0;
    if (!first && bore.part() == base.origin() + base.last()) {
      return new WatchStep(before, List.of(), List.of(), false, Optional.empty());
    }
    long origin = first ? bore.part() : base.origin();
    long x = bore.part() - origin;
    double y = off(bore.followed(), feature);
    boolean under = feature.limits().lower().map(bore.followed()::isBelow).orElse(false);
    boolean over = feature.limits().upper().map(bore.followed()::isAbove).orElse(false);
    CapabilityState.Life next =
        new CapabilityState.Life(
            base.fromItsBeginning(),
            base.all().plus(y),
            base.slopes(),
            base.open().plus((double) x, y),
            origin,
            first ? x : Math.min(base.first(), x),
            first ? x : Math.max(base.last(), x),
            base.under() + (under ? 1 : 0),
            base.over() + (over ? 1 : 0));
    CapabilityWindow window = setBack ? before.window().begun() : before.window();
    CapabilityWindow newest =
        rule.window().isEmpty()
            ? window
            : window.plus(bore.part(), Math.round(y), rule.window().getAsInt());
    return new WatchStep(with(before, next, newest), List.of(), List.of(), true, Optional.empty());
  }

  private static CapabilityState with(
      CapabilityState before, CapabilityState.Life life, CapabilityWindow window) {
    return new CapabilityState(
        before.lives(), before.all(), before.slopes(), before.under(), before.over(), life, window);
  }

  private static CapabilityState.Life closedSegment(CapabilityState.Life life) {
    return new CapabilityState.Life(
        life.fromItsBeginning(),
        life.all(),
        life.slopes().plus(life.open()),
        Regression.NONE,
        0,
        0,
        0,
        life.under(),
        life.over());
  }

  static CapabilityState newSegment(CapabilityState before, SegmentCause cause) {
    return switch (cause) {
      case RULES_CHANGED -> CapabilityState.NONE;
      case OFFSET_ENTERED -> with(before, closedSegment(before.life()), before.window().begun());
      // Bores are missing: the life goes on, but it is no whole one any more.
      case GAP -> with(before, CapabilityState.Life.UNKNOWN, before.window().begun());
      case TOOL_CHANGED -> ended(before);
    };
  }

  private static CapabilityState ended(CapabilityState before) {
    CapabilityState.Life life = before.life();
    if (!life.fromItsBeginning() || life.all().count() == 0) {
      return with(before, CapabilityState.Life.BEGUN, before.window().begun());
    }
    SlopeSums slopes = before.slopes();
    SlopeSums more = life.slopes().plus(life.open());
    return new CapabilityState(
        before.lives() + 1,
        before.all().and(life.all()),
        slopes.and(more),
        before.under() + life.under(),
        before.over() + life.over(),
        CapabilityState.Life.BEGUN,
        before.window().begun());
  }

  /** What is known of whole lives, or of the one under way; empty under {@link #FEWEST} bores. */
  static Optional<CapabilityView> view(
      WatchRule.Capability rule, CapabilityState state, Feature feature) {
    CapabilityState.Life life = state.life();
    boolean partial = state.lives() == 0;
    Sample sample =
        new Sample(
            state.lives(),
            partial,
            partial ? life.all() : state.all(),
            partial ? life.slopes().plus(life.open()) : state.slopes(),
            partial ? life.under() : state.under(),
            partial ? life.over() : state.over(),
            Line.fit(life.open(), life.slopes()),
            (double) life.first(),
            (double) life.last());
    return view(rule, sample, feature);
  }

  /** What is known of the last bores; empty under {@link #FEWEST} and where none are asked for. */
  static Optional<CapabilityView> window(
      WatchRule.Capability rule, CapabilityState state, Feature feature) {
    CapabilityWindow window = state.window();
    if (window.parts().size() < FEWEST) {
      return Optional.empty();
    }
    Regression open = window.open();
    SlopeSums before = window.before();
    Sample sample =
        new Sample(
            0,
            true,
            window.all(),
            before.plus(open),
            beyond(window, feature, false),
            beyond(window, feature, true),
            Line.fit(open, before),
            window.x(window.newest()),
            window.x(window.parts().size() - 1));
    return view(rule, sample, feature);
  }

  private static long beyond(CapabilityWindow window, Feature feature, boolean over) {
    Optional<Length> limit = over ? feature.limits().upper() : feature.limits().lower();
    if (limit.isEmpty()) {
      return 0;
    }
    long at = limit.get().minus(feature.nominal()).picometres();
    return window.offs().stream().filter(off -> over ? off > at : off < at).count();
  }

  private static Optional<CapabilityView> view(
      WatchRule.Capability rule, Sample sample, Feature feature) {
    Moments all = sample.all();
    SlopeSums slopes = sample.slopes();
    double overall = all.standardDeviation();
    long freedom = slopes.count() - slopes.segments() - 1;
    double residual = freedom < 1 ? Double.NaN : Math.sqrt(slopes.residualSquares() / freedom);
    if (all.count() < FEWEST || !(overall > 0) || !(residual > 0) || !(slopes.sxx() > 0)) {
      return Optional.empty();
    }
    double slope = slopes.sxy() / slopes.sxx();
    double quantile = Quantiles.student((1 + rule.confidence()) / 2, freedom);
    boolean drifts = Math.abs(slope) > quantile * residual / Math.sqrt(slopes.sxx());
    Optional<Double> below = feature.limits().lower().map(l -> all.mean() - off(l, feature));
    Optional<Double> above = feature.limits().upper().map(l -> off(l, feature) - all.mean());
    Indices within = new Indices(below, above, residual, freedom + 1, rule.confidence(), drifts);
    Indices over = new Indices(below, above, overall, all.count(), rule.confidence(), drifts);
    return Optional.of(
        new CapabilityView(
            sample.lives(),
            sample.partial(),
            all.count(),
            drifts,
            "residual",
            drifts ? Optional.empty() : within.spread(),
            drifts ? Optional.empty() : within.nearer(),
            over.spread(),
            over.nearer(),
            room(drifts, slope > 0, sample, residual, feature, true),
            room(drifts, slope > 0, sample, residual, feature, false),
            (double) sample.under() / all.count(),
            (double) sample.over() / all.count(),
            expected(below, overall),
            expected(above, overall)));
  }

  private static OptionalDouble expected(Optional<Double> room, double sigma) {
    return room.map(way -> OptionalDouble.of(Capability.beyond(way, sigma)))
        .orElse(OptionalDouble.empty());
  }

  /** At the start the limit it drifts away from, at the end the one it drifts to. */
  private static OptionalDouble room(
      boolean drifts, boolean rises, Sample sample, double sigma, Feature feature, boolean start) {
    Optional<Line> line = sample.line();
    boolean upper = rises != start;
    Optional<Length> limit = upper ? feature.limits().upper() : feature.limits().lower();
    if (!drifts || line.isEmpty() || limit.isEmpty()) {
      return OptionalDouble.empty();
    }
    double level = line.get().at(start ? sample.first() : sample.last());
    double way = off(limit.get(), feature) - level;
    return OptionalDouble.of((upper ? way : -way) / (3 * sigma));
  }

  private static double off(Length size, Feature feature) {
    return size.minus(feature.nominal()).picometres();
  }

  /**
   * The bores that are told of.
   *
   * @param lives the whole lives
   * @param partial whether it is over a life that is not whole
   * @param all their sizes, picometres from nominal
   * @param slopes the lines of their segments
   * @param under those under the lower limit
   * @param over those over the upper one
   * @param line the newest segment's line
   * @param first where that begins
   * @param last where it ends
   */
  private record Sample(
      int lives,
      boolean partial,
      Moments all,
      SlopeSums slopes,
      long under,
      long over,
      Optional<Line> line,
      double first,
      double last) {}

  /**
   * The indices of one sigma.
   *
   * @param below the way to the lower limit
   * @param above the way to the upper one
   * @param sigma the standard deviation
   * @param n the values that it stands for
   * @param confidence of the intervals
   * @param drifts whether the data drift and so are not independent: no interval that rests on that
   *     is honest, and none is worked out
   */
  private record Indices(
      Optional<Double> below,
      Optional<Double> above,
      double sigma,
      long n,
      double confidence,
      boolean drifts) {
    Optional<CapabilityView.Value> spread() {
      return below
          .flatMap(low -> above.map(up -> low + up))
          .map(
              tolerance ->
                  drifts
                      ? plain(tolerance / (6 * sigma))
                      : with(Capability.ofTolerance(tolerance, sigma, n, confidence)));
    }

    Optional<CapabilityView.Value> nearer() {
      return Stream.concat(below.stream(), above.stream())
          .min(Double::compare)
          .map(
              room ->
                  drifts
                      ? plain(room / (3 * sigma))
                      : with(Capability.ofNearerLimit(room, sigma, n, confidence)));
    }

    private static CapabilityView.Value plain(double value) {
      return new CapabilityView.Value(value, OptionalDouble.empty(), OptionalDouble.empty());
    }

    private static CapabilityView.Value with(Capability.Index index) {
      return new CapabilityView.Value(
          index.value(), OptionalDouble.of(index.low()), OptionalDouble.of(index.high()));
    }
  }
}

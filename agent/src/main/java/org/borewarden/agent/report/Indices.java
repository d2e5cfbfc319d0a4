package org.borewarden.agent.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.stat.Capability;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * What may be said of a tool life as a process (metrology.md 4.12): indices with their intervals
 * where it does not drift; where it does, no Cp or Cpk and no interval, but the rooms at its start
 * and end. Statistics are doubles on deviations; no length is printed from them.
 *
 * @param bores the bores that count
 * @param why a key, why nothing is said: {@code too-few}, {@code no-spread}
 * @param drifts whether the slope is significant
 * @param cp Cp
 * @param cpk Cpk
 * @param pp Pp
 * @param ppk Ppk
 * @param roomAtStart from the first level to the limit it drifts away from, in 3 residual sigmas
 * @param roomAtEnd from the last level to the limit it drifts to, in 3 residual sigmas
 * @param shape a key: {@code normal-not-refuted}, {@code not-normal} or {@code shape-not-tested}
 */
record Indices(
    long bores,
    Optional<String> why,
    boolean drifts,
    Optional<Capability.Index> cp,
    Optional<Capability.Index> cpk,
    Optional<Capability.Index> pp,
    Optional<Capability.Index> ppk,
    OptionalDouble roomAtStart,
    OptionalDouble roomAtEnd,
    String shape) {
  /** Under so many bores an index says nothing. */
  static final int FEWEST = 10;

  /** Of the intervals, and of the test of the slope. */
  static final double CONFIDENCE = 0.95;

  /** Anderson and Darling's adjusted statistic at 5 % (Stephens 1974, from memory). */
  private static final double NOT_NORMAL = 0.752;

  /** Of the bores that count, oldest first. */
  static Indices of(Feature feature, List<LifeBore> bores) {
    TreeMap<Integer, Segment> segments = new TreeMap<>();
    Moments all = Moments.NONE;
    long origin = bores.isEmpty() ? 0 : bores.get(0).bore().part();
    for (LifeBore bore : bores) {
      double y = bore.bore().followed().minus(feature.nominal()).picometres();
      double x = (double) bore.bore().part() - origin;
      all = all.plus(y);
      segments.computeIfAbsent(bore.segment(), s -> new Segment()).add(x, y);
    }
    SlopeSums slopes = SlopeSums.NONE;
    for (Segment segment : segments.values()) {
      slopes = slopes.plus(segment.line);
    }
    long freedom = slopes.count() - slopes.segments() - 1;
    if (all.count() < FEWEST || freedom < 1 || !(slopes.sxx() > 0)) {
      return nothing(all.count(), "too-few");
    }
    double residual = Math.sqrt(slopes.residualSquares() / freedom);
    if (!(residual > 0) || !(all.standardDeviation() > 0)) {
      return nothing(all.count(), "no-spread");
    }
    return of(feature, all, slopes, segments, new Spread(residual, freedom, step(bores)));
  }

  private static Indices of(
      Feature feature,
      Moments all,
      SlopeSums slopes,
      TreeMap<Integer, Segment> segments,
      Spread spread) {
    double slope = slopes.sxy() / slopes.sxx();
    double quantile = Quantiles.student((1 + CONFIDENCE) / 2, spread.freedom());
    boolean drifts = Math.abs(slope) > quantile * spread.residual() / Math.sqrt(slopes.sxx());
    Optional<Double> below = feature.limits().lower().map(l -> all.mean() - off(l, feature));
    Optional<Double> above = feature.limits().upper().map(l -> off(l, feature) - all.mean());
    double overall = all.standardDeviation();
    long within = spread.freedom() + 1;
    return new Indices(
        all.count(),
        Optional.empty(),
        drifts,
        tolerance(below, above, spread.residual(), within).filter(i -> !drifts),
        nearer(below, above, spread.residual(), within).filter(i -> !drifts),
        tolerance(below, above, overall, all.count()),
        nearer(below, above, overall, all.count()),
        room(feature, segments.firstEntry().getValue(), spread, slope, drifts, true),
        room(feature, segments.lastEntry().getValue(), spread, slope, drifts, false),
        shape(segments, slope, spread));
  }

  private static Indices nothing(long bores, String why) {
    return new Indices(
        bores,
        Optional.of(why),
        false,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        "shape-not-tested");
  }

  private static Optional<Capability.Index> tolerance(
      Optional<Double> below, Optional<Double> above, double sigma, long n) {
    return below.flatMap(
        low -> above.map(up -> Capability.ofTolerance(low + up, sigma, n, CONFIDENCE)));
  }

  /** With one limit that limit was fixed before; with two, the nearer one is taken. */
  private static Optional<Capability.Index> nearer(
      Optional<Double> below, Optional<Double> above, double sigma, long n) {
    if (below.isPresent() && above.isPresent()) {
      double room = Math.min(below.get(), above.get());
      return Optional.of(Capability.ofNearerLimit(room, sigma, n, CONFIDENCE));
    }
    return below.or(() -> above).map(room -> Capability.ofOneLimit(room, sigma, n, CONFIDENCE));
  }

  /** The levels of the first and the last segment, on the slope that all share. */
  private static OptionalDouble room(
      Feature feature,
      Segment segment,
      Spread spread,
      double slope,
      boolean drifts,
      boolean start) {
    boolean upper = (slope > 0) != start;
    Optional<Length> limit = upper ? feature.limits().upper() : feature.limits().lower();
    if (!drifts || limit.isEmpty()) {
      return OptionalDouble.empty();
    }
    double level = segment.level(start ? segment.first() : segment.last(), slope);
    double way = off(limit.get(), feature) - level;
    return OptionalDouble.of((upper ? way : -way) / (3 * spread.residual()));
  }

  private static String shape(TreeMap<Integer, Segment> segments, double slope, Spread spread) {
    List<Double> residuals = new ArrayList<>();
    segments.values().forEach(segment -> segment.residuals(slope, residuals));
    double[] values = residuals.stream().mapToDouble(Double::doubleValue).toArray();
    return Capability.andersonDarling(values, spread.step() / spread.residual())
        .map(statistic -> statistic > NOT_NORMAL ? "not-normal" : "normal-not-refuted")
        .orElse("shape-not-tested");
  }

  /** The step of the gauge's display, picometres. */
  private static double step(List<LifeBore> bores) {
    return bores.stream()
        .mapToDouble(b -> b.bore().unit().picometres() / Math.pow(10, b.bore().decimals()))
        .max()
        .orElse(0);
  }

  private static double off(Length size, Feature feature) {
    return size.minus(feature.nominal()).picometres();
  }

  /**
   * The spread about the lines.
   *
   * @param residual its standard deviation, picometres
   * @param freedom its degrees of freedom
   * @param step the step of the gauge, picometres
   */
  private record Spread(double residual, long freedom, double step) {}

  /** The bores between two offsets. */
  private static final class Segment {
    private final List<double[]> points = new ArrayList<>();
    private Regression line = Regression.NONE;

    void add(double x, double y) {
      points.add(new double[] {x, y});
      line = line.plus(x, y);
    }

    double level(double x, double slope) {
      return line.meanY() + slope * (x - line.meanX());
    }

    double first() {
      return points.stream().mapToDouble(p -> p[0]).min().orElse(0);
    }

    double last() {
      return points.stream().mapToDouble(p -> p[0]).max().orElse(0);
    }

    void residuals(double slope, List<Double> into) {
      for (double[] point : points) {
        into.add(point[1] - level(point[0], slope));
      }
    }
  }
}

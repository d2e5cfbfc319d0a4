package org.borewarden.rules.watch;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * The drift forecast as a watch with two tiers under one key: an alert within so many parts, a hold
 * within fewer.
 *
 * <p>With each bore at most one finding: that of the hold tier where it is due, else that of the
 * alert tier, each due once its forecast was called for in the asked number of successive bores. It
 * is found again with each bore while it is due, so that the alert counts them; the first bore for
 * which neither tier is due clears the key. Where the forecast ends for want of slope, it clears.
 *
 * <p>Bores that come late are put in their place by part number; the same part measured again is
 * left out.
 */
final class ForecastWatch {
  private static final double PICOMETRES_PER_METRE = 1e12;

  private ForecastWatch() {}

  static String key(WatchRule rule, Feature feature) {
    return Reason.FORECAST.key() + "/" + feature.id() + "/" + rule.id();
  }

  static WatchStep step(
      WatchRule.Forecast rule,
      ForecastState before,
      Feature feature,
      Acceptance acceptance,
      Bore bore,
      PooledSlope pooled) {
    if (before.open().count() > 0 && bore.part() == before.lastPart()) {
      return unchanged(rule, before, feature, acceptance, pooled);
    }
    ForecastState with = with(before, bore, feature.nominal());
    Outlook outlook = outlook(rule, with, feature, acceptance, pooled);
    int alertRun = run(with.alertRun(), outlook.partsLeft(), rule.alertWithin());
    int holdRun = run(with.holdRun(), outlook.partsLeft(), rule.holdsAt());
    Optional<Action> due =
        holdRun >= rule.successive()
            ? Optional.of(rule.hold())
            : alertRun >= rule.successive() ? Optional.of(rule.alert()) : Optional.empty();
    return new WatchStep(
        with.called(alertRun, holdRun, due.isPresent()),
        due.map(action -> List.of(finding(rule, feature, action, outlook, pooled)))
            .orElse(List.of()),
        before.stands() && due.isEmpty() ? List.of(key(rule, feature)) : List.of(),
        true,
        Optional.of(view(rule, with, outlook, pooled)));
  }

  /** For a bore that does not count: the forecast that stands is shown again. */
  static WatchStep unchanged(
      WatchRule.Forecast rule,
      ForecastState state,
      Feature feature,
      Acceptance acceptance,
      PooledSlope pooled) {
    Outlook outlook = outlook(rule, state, feature, acceptance, pooled);
    return new WatchStep(
        state, List.of(), List.of(), false, Optional.of(view(rule, state, outlook, pooled)));
  }

  /** For a bore without a place in cutting order: nothing is foretold, and why is said. */
  static WatchStep unordered(
      WatchRule.Forecast rule, ForecastState state, Feature feature, Acceptance acceptance) {
    double sigma = outlook(rule, state, feature, acceptance, PooledSlope.NONE).sigma();
    Outlook none = Outlook.none(Optional.empty(), sigma, Outlook.ORDER_UNKNOWN);
    return new WatchStep(
        state, List.of(), List.of(), false, Optional.of(view(rule, state, none, PooledSlope.NONE)));
  }

  static ForecastState newSegment(
      WatchRule.Forecast rule, ForecastState state, SegmentCause cause) {
    return switch (cause) {
      case TOOL_CHANGED -> ForecastState.after(taught(rule, state));
      case RULES_CHANGED -> ForecastState.NONE;
      case GAP -> ForecastState.after(state.lives());
      case OFFSET_ENTERED -> keepSlope(state);
    };
  }

  /** A tool teaches when it lasted long enough to be forecast without a prior. */
  private static ForecastState.Lives taught(WatchRule.Forecast rule, ForecastState state) {
    boolean learns = rule.prior().filter(SlopePrior.Learnt.class::isInstance).isPresent();
    return Line.fit(state.open(), state.closed())
        .filter(line -> learns && line.count() >= rule.minimumBores())
        .map(line -> state.lives().and(line, state.length()))
        .orElse(state.lives());
  }

  private static ForecastState keepSlope(ForecastState state) {
    SlopeSums closed = state.closed().plus(state.open());
    return new ForecastState(
        Regression.NONE, closed, state.length(), 0, 0, 0, 0, 0, false, state.lives());
  }

  private static ForecastState with(ForecastState before, Bore bore, Length nominal) {
    boolean counterSetBack =
        before.open().count() > 0 && before.lastPart() - bore.part() > Watches.LATE_PARTS;
    ForecastState base = counterSetBack ? setBack(before) : before;
    boolean first = base.open().count() == 0;
    long origin = first ? bore.part() : base.firstPart();
    double deviation = Math.subtractExact(bore.followed().picometres(), nominal.picometres());
    return new ForecastState(
        base.open().plus((double) (bore.part() - origin), deviation),
        base.closed(),
        base.closedLength(),
        origin,
        first ? bore.part() : Math.min(base.earliestPart(), bore.part()),
        first ? bore.part() : Math.max(base.lastPart(), bore.part()),
        base.alertRun(),
        base.holdRun(),
        base.stands(),
        base.lives());
  }

  /** The counter began anew, and nobody said why: as after a gap, but what stood is to clear. */
  private static ForecastState setBack(ForecastState before) {
    return ForecastState.after(before.lives()).called(0, 0, before.stands());
  }

  private static Outlook outlook(
      WatchRule.Forecast rule,
      ForecastState state,
      Feature feature,
      Acceptance acceptance,
      PooledSlope pooled) {
    long length = Math.max(state.length(), pooled.parts());
    return Forecaster.outlook(rule, state, pooled, feature.nominal(), acceptance.zone(), length);
  }

  private static int run(int before, OptionalInt partsLeft, OptionalInt within) {
    boolean calls =
        partsLeft.isPresent() && within.isPresent() && partsLeft.getAsInt() <= within.getAsInt();
    return calls ? Math.min(before, Integer.MAX_VALUE - 1) + 1 : 0;
  }

  private static Finding finding(
      WatchRule.Forecast rule,
      Feature feature,
      Action action,
      Outlook outlook,
      PooledSlope pooled) {
    Line line = outlook.line().orElseThrow();
    int partsLeft = outlook.partsLeft().orElseThrow();
    String words =
        String.format(
            Locale.ROOT,
            "%d part%s until a bore may be %s (p %s), %+.4f um per part over %d %s",
            partsLeft,
            partsLeft == 1 ? "" : "s",
            outlook.side().orElseThrow().key(),
            rule.probability(),
            line.slope() / 1e6,
            line.count(),
            pooled.speaks() ? "parts of all features of the pool" : "bores");
    return new Finding(
        key(rule, feature),
        feature.id(),
        Reason.FORECAST,
        action,
        OptionalInt.of(partsLeft),
        words);
  }

  private static ForecastView view(
      WatchRule.Forecast rule, ForecastState state, Outlook outlook, PooledSlope pooled) {
    double length = outlook.horizon();
    Optional<Line.Crossing> crossing = outlook.crossing();
    return new ForecastView(
        Math.toIntExact(state.open().count() + state.closed().count()),
        outlook.line().map(Line::slope).map(ForecastWatch::metres).orElse(OptionalDouble.empty()),
        Double.isNaN(outlook.sigma()) ? OptionalDouble.empty() : metres(outlook.sigma()),
        rule.sigma().isPresent() ? "given" : outlook.prior() ? "pooled" : "residual",
        outlook.partsLeft(),
        within(crossing.map(Line.Crossing::at), length),
        within(crossing.map(Line.Crossing::earliest), length),
        within(crossing.map(Line.Crossing::latest), length),
        outlook.side().map(side -> side.key()),
        outlook.noForecast(),
        outlook.prior()
            ? Optional.of("earlier-tools")
            : pooled.speaks() ? Optional.of("other-features") : Optional.empty());
  }

  private static OptionalDouble metres(double picometres) {
    return OptionalDouble.of(picometres / PICOMETRES_PER_METRE);
  }

  /** Never a figure farther ahead than the data are long. */
  private static OptionalDouble within(Optional<Double> ahead, double length) {
    return ahead.isPresent() && ahead.get() <= length
        ? OptionalDouble.of(ahead.get())
        : OptionalDouble.empty();
  }
}

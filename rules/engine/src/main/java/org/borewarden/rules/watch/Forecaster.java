package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.judge.AcceptanceZone;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Quantiles;

/**
 * Works out the drift forecast of a segment.
 *
 * <p>y = a + b x by least squares. A forecast is made only where n_min bores stand and the slope is
 * proven, one-sided at p. h is the smallest whole number of parts ahead, from 1, at which the
 * one-sided prediction bound of one further bore lies at or beyond the acceptance limit of the side
 * that it drifts to. Sigma is given (normal quantiles) or that of the residuals (Student's t with
 * their degrees of freedom). Nothing is foretold farther ahead than the data are long.
 *
 * <p>Where a prior of the slope stands, fewer bores do: {@link KnownSlope}.
 */
final class Forecaster {
  private Forecaster() {}

  /** Works it out from the bores of one feature. */
  static Outlook outlook(
      WatchRule.Forecast rule,
      ForecastState state,
      Length nominal,
      AcceptanceZone zone,
      long horizon) {
    return outlook(rule, state, PooledSlope.NONE, nominal, zone, horizon);
  }

  /**
   * Works it out.
   *
   * @param pooled what other features tell of the slope
   * @param horizon the farthest h to look for, in parts; earlier tools may allow more
   */
  static Outlook outlook(
      WatchRule.Forecast rule,
      ForecastState state,
      PooledSlope pooled,
      Length nominal,
      AcceptanceZone zone,
      long horizon) {
    Optional<Line> fitted = pooled.fit(state.open(), state.closed());
    if (fitted.isEmpty()) {
      return Outlook.none(fitted, sigma(rule).orElse(Double.NaN), Outlook.TOO_FEW);
    }
    Line line = fitted.get();
    if (line.count() < rule.minimumBores()) {
      return early(rule, state, line, zone(nominal, zone), horizon);
    }
    double sigma = sigma(rule).orElse(line.residualDeviation());
    if (Double.isNaN(sigma)) {
      return Outlook.none(fitted, sigma, Outlook.TOO_FEW);
    }
    Scatter scatter = new Scatter(sigma, rule.sigma().isPresent() ? 0 : line.freedom());
    return along(rule, line, scatter, lastX(state), zone(nominal, zone), false, horizon);
  }

  /** With fewer bores than a forecast needs of itself: with the help of earlier tools, or none. */
  private static Outlook early(
      WatchRule.Forecast rule, ForecastState state, Line line, Levels zone, long horizon) {
    Optional<KnownSlope> known = KnownSlope.of(rule, state.lives());
    int fewest = rule.prior().map(SlopePrior::minimumBores).orElse(Integer.MAX_VALUE);
    if (known.isEmpty() || line.count() < fewest) {
      double sigma = sigma(rule).orElse(line.residualDeviation());
      return Outlook.none(Optional.of(line), sigma, Outlook.TOO_FEW);
    }
    Scatter scatter =
        sigma(rule).map(s -> new Scatter(s, 0)).orElseGet(() -> pooled(state.lives(), line));
    double twoSided = scatter.quantile((1 + rule.probability()) / 2);
    if (known.get().contradicts(line, scatter.sigma(), twoSided)) {
      return Outlook.none(Optional.of(line), scatter.sigma(), Outlook.UNLIKE_BEFORE);
    }
    Line both = known.get().with(line, scatter.sigma());
    long farthest = Math.max(horizon, known.get().parts() - state.length());
    return along(rule, both, scatter, lastX(state), zone, true, farthest);
  }

  private static Scatter pooled(ForecastState.Lives lives, Line line) {
    long freedom = lives.freedom() + line.freedom();
    return new Scatter(
        Math.sqrt((lives.residualSquares() + line.residualSquares()) / freedom), freedom);
  }

  private static Outlook along(
      WatchRule.Forecast rule,
      Line line,
      Scatter scatter,
      double lastX,
      Levels zone,
      boolean prior,
      long horizon) {
    double sigma = scatter.sigma();
    double quantile = scatter.quantile(rule.probability());
    int side = line.slope() > 0 ? 1 : -1;
    if (!line.slopesToward(side, sigma, quantile)) {
      return Outlook.none(Optional.of(line), sigma, Outlook.NO_SLOPE);
    }
    double level = side > 0 ? zone.upper() : zone.lower();
    if (Double.isNaN(level)) {
      return Outlook.none(Optional.of(line), sigma, Outlook.NO_LIMIT);
    }
    int left = Bound.of(line, quantile * sigma, level).partsLeft(lastX, horizon);
    // A two-sided interval of the same level: 0.95 one-sided goes with 95 % between its ends.
    double fieller = scatter.quantile((1 + rule.probability()) / 2);
    return new Outlook(
        Optional.of(line),
        sigma,
        Optional.of(side > 0 ? Verdict.OVERSIZE : Verdict.UNDERSIZE),
        left == 0 ? OptionalInt.empty() : OptionalInt.of(left),
        line.crossing(level, sigma, fieller).map(c -> ahead(c, lastX)),
        left == 0 ? Optional.of(Outlook.BEYOND_THE_DATA) : Optional.empty(),
        prior,
        horizon);
  }

  private static double lastX(ForecastState state) {
    return state.lastPart() - state.firstPart();
  }

  private static Optional<Double> sigma(WatchRule.Forecast rule) {
    return rule.sigma().map(s -> (double) s.picometres());
  }

  private static Line.Crossing ahead(Line.Crossing crossing, double lastX) {
    return new Line.Crossing(
        crossing.at() - lastX, crossing.earliest() - lastX, crossing.latest() - lastX);
  }

  private static Levels zone(Length nominal, AcceptanceZone zone) {
    return new Levels(off(zone.lower(), nominal), off(zone.upper(), nominal));
  }

  private static double off(Optional<Length> limit, Length nominal) {
    return limit.isEmpty() ? Double.NaN : limit.get().minus(nominal).picometres();
  }

  /**
   * The acceptance limits, picometres from nominal; NaN where none stands.
   *
   * @param lower the lower one
   * @param upper the upper one
   */
  private record Levels(double lower, double upper) {}

  /**
   * How far a bore scatters about the line.
   *
   * @param sigma its standard deviation
   * @param freedom the degrees of freedom that it has; 0 where it is given
   */
  private record Scatter(double sigma, long freedom) {
    double quantile(double probability) {
      return freedom == 0 ? Quantiles.normal(probability) : Quantiles.student(probability, freedom);
    }
  }
}

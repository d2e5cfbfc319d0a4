package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.judge.AcceptanceZone;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
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
 */
final class Forecaster {
  private Forecaster() {}

  /**
   * Works it out.
   *
   * @param horizon the farthest h to look for, in parts
   */
  static Outlook outlook(
      WatchRule.Forecast rule,
      ForecastState state,
      Length nominal,
      AcceptanceZone zone,
      long horizon) {
    Optional<Line> fitted = Line.fit(state.open(), state.closed());
    if (fitted.isEmpty()) {
      return Outlook.none(fitted, sigma(rule).orElse(Double.NaN), Outlook.TOO_FEW);
    }
    Line line = fitted.get();
    double sigma = sigma(rule).orElse(line.residualDeviation());
    if (line.count() < rule.minimumBores() || Double.isNaN(sigma)) {
      return Outlook.none(fitted, sigma, Outlook.TOO_FEW);
    }
    double quantile = quantile(rule, line, rule.probability());
    int side = line.slope() > 0 ? 1 : -1;
    if (!line.slopesToward(side, sigma, quantile)) {
      return Outlook.none(fitted, sigma, Outlook.NO_SLOPE);
    }
    Optional<Length> limit = side > 0 ? zone.upper() : zone.lower();
    if (limit.isEmpty()) {
      return Outlook.none(fitted, sigma, Outlook.NO_LIMIT);
    }
    double level = limit.get().minus(nominal).picometres();
    double lastX = state.lastPart() - state.firstPart();
    OptionalInt partsLeft =
        smallest(
            horizon,
            parts ->
                side * (line.at(lastX + parts) - level)
                        + line.predictionHalfWidth(lastX + parts, sigma, quantile)
                    >= 0);
    // A two-sided interval of the same level: 0.95 one-sided goes with 95 % between its ends.
    double fieller = quantile(rule, line, (1 + rule.probability()) / 2);
    return new Outlook(
        fitted,
        sigma,
        Optional.of(side > 0 ? Verdict.OVERSIZE : Verdict.UNDERSIZE),
        partsLeft,
        line.crossing(level, sigma, fieller).map(c -> ahead(c, lastX)),
        partsLeft.isPresent() ? Optional.empty() : Optional.of(Outlook.BEYOND_THE_DATA));
  }

  private static Optional<Double> sigma(WatchRule.Forecast rule) {
    return rule.sigma().map(s -> (double) s.picometres());
  }

  private static double quantile(WatchRule.Forecast rule, Line line, double probability) {
    return rule.sigma().isPresent()
        ? Quantiles.normal(probability)
        : Quantiles.student(probability, line.freedom());
  }

  private static Line.Crossing ahead(Line.Crossing crossing, double lastX) {
    return new Line.Crossing(
        crossing.at() - lastX, crossing.earliest() - lastX, crossing.latest() - lastX);
  }

  /** Tells of a number of parts ahead whether the bound lies at or beyond the limit there. */
  private interface Reached {
    boolean at(long parts);
  }

  /**
   * The smallest number of parts for which it is reached, by halving: the bound moves toward the
   * limit with every part, because the line drifts there and the interval only widens ahead.
   */
  private static OptionalInt smallest(long horizon, Reached reached) {
    long high = Math.min(horizon, WatchRule.Forecast.MAX_PARTS);
    if (high < 1 || !reached.at(high)) {
      return OptionalInt.empty();
    }
    long low = 0;
    while (high - low > 1) {
      long middle = (low + high) / 2;
      if (reached.at(middle)) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return OptionalInt.of((int) high);
  }
}

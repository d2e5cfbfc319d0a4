package org.borewarden.rules.watch;

import java.util.Optional;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Quantiles;

/**
 * The slope of a tool before it has cut: a normal prior b ~ N(b0, e^2) beside a level of which
 * nothing is known. With sigma known the slope given both is that of least squares with s^2/e^2
 * more of Sxx at b0, and the prediction bound keeps its form (the normal linear model of any
 * textbook on Bayesian regression).
 *
 * <p>Learnt from m tools, b0 is the mean of their slopes and e their standard deviation times
 * sqrt(1 + 1/m), widened by t/z so that its bound at p is that of Student's t with m - 1 degrees of
 * freedom. The widening is our own choice, no source.
 *
 * @param slope b0, picometres per part
 * @param error e, picometres per part
 * @param parts over how many parts it was seen
 */
record KnownSlope(double slope, double error, long parts) {

  /** What is known; empty while too few tools taught it. */
  static Optional<KnownSlope> of(WatchRule.Forecast rule, ForecastState.Lives lives) {
    if (rule.prior().isEmpty()) {
      return Optional.empty();
    }
    SlopePrior prior = rule.prior().get();
    if (prior instanceof SlopePrior.Given given) {
      return Optional.of(
          new KnownSlope(
              (double) given.slope().picometres(),
              (double) given.error().picometres(),
              given.parts()));
    }
    Moments slopes = lives.slopes();
    long m = slopes.count();
    double spread = slopes.standardDeviation();
    if (m < ((SlopePrior.Learnt) prior).lives() || !(spread > 0)) {
      return Optional.empty();
    }
    double widened =
        Quantiles.student(rule.probability(), m - 1) / Quantiles.normal(rule.probability());
    return Optional.of(
        new KnownSlope(slopes.mean(), spread * Math.sqrt(1 + 1.0 / m) * widened, lives.shortest()));
  }

  /** Whether the bores of this tool cannot well have the slope of the tools before. */
  boolean contradicts(Line line, double sigma, double quantile) {
    double apart = Math.abs(line.slope() - slope);
    return apart > quantile * Math.hypot(sigma / Math.sqrt(line.sxx()), error);
  }

  /** The line with the slope of both. */
  Line with(Line line, double sigma) {
    double own = sigma / error * (sigma / error);
    double sxx = line.sxx() + own;
    return new Line(
        line.count(),
        line.freedom(),
        line.levelCount(),
        line.meanX(),
        line.meanY(),
        (line.slope() * line.sxx() + slope * own) / sxx,
        sxx,
        line.residualSquares());
  }
}

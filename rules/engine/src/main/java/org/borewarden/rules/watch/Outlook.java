package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.stat.Line;

/**
 * The forecast worked out from the state, in picometres and parts. The published view leaves out
 * what lies farther ahead than the data are long.
 *
 * @param line the fitted line; absent under two bores
 * @param sigma the standard deviation of one bore that was used; NaN where there is none
 * @param side where it drifts: undersize or oversize; absent where the slope is not proven
 * @param partsLeft h, at most the horizon; absent where the bound does not reach the limit by then
 * @param crossing where the mean line meets the acceptance limit, x from the last part
 * @param noForecast why there is no h
 * @param prior whether earlier tools have a say in the slope
 * @param horizon the farthest that anything is foretold, in parts
 */
record Outlook(
    Optional<Line> line,
    double sigma,
    Optional<Verdict> side,
    OptionalInt partsLeft,
    Optional<Line.Crossing> crossing,
    Optional<String> noForecast,
    boolean prior,
    long horizon) {

  static final String TOO_FEW = "too-few";
  static final String NO_SLOPE = "no-slope";
  static final String BEYOND_THE_DATA = "beyond-the-data";
  static final String ORDER_UNKNOWN = "order-unknown";
  static final String NO_LIMIT = "no-limit";
  static final String UNLIKE_BEFORE = "unlike-before";

  static Outlook none(Optional<Line> line, double sigma, String why) {
    return new Outlook(
        line,
        sigma,
        Optional.empty(),
        OptionalInt.empty(),
        Optional.empty(),
        Optional.of(why),
        false,
        0);
  }
}

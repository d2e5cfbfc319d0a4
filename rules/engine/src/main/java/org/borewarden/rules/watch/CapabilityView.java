package org.borewarden.rules.watch;

import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Capability over whole tool lives, or, while none is over, over the one under way.
 *
 * @param lives the whole lives; 0 where it is over a part of one
 * @param partial whether it is over a life that is not whole
 * @param bores the bores
 * @param drifts whether the slope over the lives is significant; then there is no Cp or Cpk and no
 *     interval
 * @param sigmaKind {@code residual} about the lines, for Cp and Cpk
 * @param cp Cp; absent with one limit or a drift
 * @param cpk Cpk; absent with a drift
 * @param pp Pp; absent with one limit
 * @param ppk Ppk
 * @param roomAtStart way from the first level of the life under way to the limit from which it
 *     drifts away, in 3 residual sigmas; absent without a drift
 * @param roomAtEnd way from its last level to the limit toward which it drifts
 * @param under the share seen under the lower limit
 * @param over the share seen over the upper one
 * @param expectedUnder the share expected under the lower limit of a normal process of the overall
 *     mean and sigma; absent without that limit
 * @param expectedOver the same over the upper one
 */
public record CapabilityView(
    int lives,
    boolean partial,
    long bores,
    boolean drifts,
    String sigmaKind,
    Optional<Value> cp,
    Optional<Value> cpk,
    Optional<Value> pp,
    Optional<Value> ppk,
    OptionalDouble roomAtStart,
    OptionalDouble roomAtEnd,
    double under,
    double over,
    OptionalDouble expectedUnder,
    OptionalDouble expectedOver) {
  /**
   * An index with its interval.
   *
   * @param value the index
   * @param low the lower end; absent where the data drift
   * @param high the upper end
   */
  public record Value(double value, OptionalDouble low, OptionalDouble high) {}
}

package org.borewarden.rules.gauge;

import java.time.Instant;
import java.util.Optional;

/**
 * What people see of a gauge that is checked on a ring.
 *
 * @param belief whether it may be believed
 * @param ring the ring of its last good check
 * @param checked when that was
 * @param error its error then, metres
 * @param due whether a check is due
 * @param onRing whether its next readings are of a ring
 */
public record TruthView(
    Belief belief,
    Optional<String> ring,
    Optional<Instant> checked,
    Optional<Double> error,
    boolean due,
    boolean onRing) {
  /**
   * The view of a truth.
   *
   * @param truth what is known
   * @return what is shown
   */
  public static TruthView of(GaugeTruth truth) {
    return new TruthView(
        truth.belief(),
        truth.lastGood().map(RingCheck::ring),
        truth.lastGood().map(RingCheck::at),
        truth.lastGood().map(check -> check.error() / 1e12),
        truth.due(),
        truth.session().isPresent());
  }
}

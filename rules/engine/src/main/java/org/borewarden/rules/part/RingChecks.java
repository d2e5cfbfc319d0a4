package org.borewarden.rules.part;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;

/**
 * How a gauge is checked on its ring.
 *
 * @param ring the ring's id
 * @param errorLimit E: a check passes while its mean error is no more than this
 * @param readings the readings of one check, 1 to 25
 * @param everyBores after how many bores the next check is due
 * @param every after how long the next check is due
 * @param good how many good checks bring a suspect gauge back
 * @param of out of how many that follow the failed one
 * @param signs by what the gauge itself says that its ring is on it
 */
public record RingChecks(
    String ring,
    Length errorLimit,
    int readings,
    OptionalInt everyBores,
    Optional<Duration> every,
    int good,
    int of,
    RingSigns signs) {
  /** The most readings of one check. */
  public static final int MOST_READINGS = 25;

  /**
   * Checks the values.
   *
   * @throws IllegalArgumentException when one is out of its range
   */
  public RingChecks {
    Check.range("the readings of a ring check", readings, 1, MOST_READINGS);
    Check.range("the checks after a failed one", of, 1, 9);
    Check.range("the good checks after a failed one", good, 1, of);
    if (!errorLimit.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("the error limit of a ring check must be above 0");
    }
    if (signs.near().filter(near -> !near.within().isAbove(errorLimit)).isPresent()) {
      throw new IllegalArgumentException(
          "a ring is recognised farther from its size than the error limit, so that a check can"
              + " fail");
    }
    if (everyBores.isPresent()) {
      Check.range("the bores between ring checks", everyBores.getAsInt(), 1, 100_000);
    }
  }
}

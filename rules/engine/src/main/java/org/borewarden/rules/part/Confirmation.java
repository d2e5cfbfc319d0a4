package org.borewarden.rules.part;

import java.time.Duration;
import org.borewarden.rules.measure.Length;

/**
 * How a first out-of-limit reading is measured again. All of this is fixed before the first
 * reading: to choose afterwards which reading counts is to choose the verdict.
 *
 * @param readings how many readings are taken in all, 2 to 9; the mean of the tightest pair counts,
 *     with a tie that of the pair further out
 * @param span how far apart the tightest pair may lie, above 0
 * @param gross how far beyond a limit a reading is not measured again but held at once, above 0
 * @param time how long the readings may take
 */
public record Confirmation(int readings, Length span, Length gross, Duration time) {
  /** The most readings. */
  public static final int MOST_READINGS = 9;

  /**
   * Checks the values.
   *
   * @throws IllegalArgumentException when one is out of its range
   */
  public Confirmation {
    Check.range("the readings of a confirmation", readings, 2, MOST_READINGS);
    if (!span.isAbove(Length.ZERO) || !gross.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("span and gross of a confirmation must be above 0");
    }
    if (time.isNegative() || time.isZero()) {
      throw new IllegalArgumentException("the time of a confirmation must be above 0");
    }
  }

  /**
   * Whether a value lies so far out that it is not measured again.
   *
   * @param limits the limits of size
   * @param value the value
   * @return true beyond a limit by more than the gross distance
   */
  public boolean isGross(Limits limits, Length value) {
    return limits.upper().map(v -> value.isAbove(v.plus(gross))).orElse(false)
        || limits.lower().map(l -> value.isBelow(l.minus(gross))).orElse(false);
  }
}

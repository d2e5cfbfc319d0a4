package org.borewarden.rules.reading;

import org.borewarden.rules.measure.Length;

/**
 * The samples of a stream that never stops of which one reading was made; they themselves are not
 * kept.
 *
 * @param samples how many the value rests on, at least 1
 * @param span the largest of them less the smallest
 */
public record Captured(int samples, Length span) {
  /** Refuses what no samples can have. */
  public Captured {
    if (samples < 1 || span.isBelow(Length.ZERO)) {
      throw new IllegalArgumentException(
          "expected at least 1 sample and a span of 0 or more, found " + samples + ", " + span);
    }
  }
}

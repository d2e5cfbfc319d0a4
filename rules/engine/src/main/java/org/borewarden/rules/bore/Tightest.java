package org.borewarden.rules.bore;

import java.util.List;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Limits;

/**
 * The pair of repeat readings that counts: the tightest one, with a tie the pair further out.
 *
 * @param mean the mean of the pair
 * @param apart how far apart the two lie
 */
public record Tightest(Span mean, Length apart) {
  /**
   * Finds the pair.
   *
   * @param readings all readings, two or more
   * @param limits the limits of size
   * @return the pair
   * @throws IllegalArgumentException when there are fewer than two readings
   */
  public static Tightest of(List<Length> readings, Limits limits) {
    if (readings.size() < 2) {
      throw new IllegalArgumentException("a pair needs two readings");
    }
    List<Length> sorted = readings.stream().sorted().toList();
    Length low = sorted.get(0);
    Length high = sorted.get(1);
    // In sorted order the tightest pairs are neighbours.
    for (int i = 1; i < sorted.size() - 1; i++) {
      Length nextLow = sorted.get(i);
      Length nextHigh = sorted.get(i + 1);
      int tighter = nextHigh.minus(nextLow).compareTo(high.minus(low));
      boolean further = beyond(nextLow.plus(nextHigh), limits) > beyond(low.plus(high), limits);
      if (tighter < 0 || (tighter == 0 && further)) {
        low = nextLow;
        high = nextHigh;
      }
    }
    return new Tightest(Span.mean(List.of(low, high)), high.minus(low));
  }

  /** How far twice a mean lies beyond the limit that it is nearer to; negative within. */
  private static long beyond(Length twice, Limits limits) {
    long above =
        limits.upper().map(v -> twice.picometres() - 2 * v.picometres()).orElse(Long.MIN_VALUE);
    long below =
        limits.lower().map(l -> 2 * l.picometres() - twice.picometres()).orElse(Long.MIN_VALUE);
    return Math.max(above, below);
  }
}

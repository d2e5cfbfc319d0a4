package org.borewarden.rules.gauge;

import java.util.ArrayDeque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.stat.Moments;

/**
 * The shift of the bores of a gauge between the time of its last good check and now: the last bores
 * before that check against the last ones of the window, each feature against itself, the features
 * weighted by the inverse of their variances.
 */
public final class BoreShift {
  /** The most bores of a feature on each side. */
  public static final int MOST = 20;

  /** The least bores of a feature on each side. */
  public static final int LEAST = 3;

  private BoreShift() {}

  /**
   * The last bores of each feature.
   *
   * @param bores oldest first
   * @return at most {@link #MOST} of each feature, oldest first
   */
  public static List<LoggedBore> last(List<LoggedBore> bores) {
    Map<String, Integer> counts = new TreeMap<>();
    ArrayDeque<LoggedBore> kept = new ArrayDeque<>();
    for (int i = bores.size() - 1; i >= 0; i--) {
      if (counts.merge(bores.get(i).feature(), 1, Integer::sum) <= MOST) {
        kept.addFirst(bores.get(i));
      }
    }
    return List.copyOf(kept);
  }

  /**
   * The shift.
   *
   * @param before the last bores before the good check
   * @param window the bores since
   * @return the shift in picometres; empty where there are too few bores, or where a tool change or
   *     an offset between them moved the process by itself
   */
  public static Optional<Attribution.Shift> of(List<LoggedBore> before, List<LoggedBore> window) {
    if (window.stream().anyMatch(LoggedBore::newSegment)) {
      return Optional.empty();
    }
    List<LoggedBore> after = last(window);
    double weights = 0;
    double weighted = 0;
    for (String feature : before.stream().map(LoggedBore::feature).distinct().toList()) {
      Moments was = moments(before, feature);
      Moments is = moments(after, feature);
      if (was.count() < LEAST || is.count() < LEAST) {
        continue;
      }
      double variance =
          (was.squares() + is.squares())
              / (was.count() + is.count() - 2)
              * (1.0 / was.count() + 1.0 / is.count());
      // Bores that are all alike would otherwise weigh without end.
      double weight = 1 / Math.max(variance, 1);
      weights += weight;
      weighted += weight * (is.mean() - was.mean());
    }
    return weights == 0
        ? Optional.empty()
        : Optional.of(new Attribution.Shift(weighted / weights, Math.sqrt(1 / weights)));
  }

  private static Moments moments(List<LoggedBore> bores, String feature) {
    Moments moments = Moments.NONE;
    for (LoggedBore bore : bores) {
      if (bore.feature().equals(feature)) {
        Length off = bore.judged().low().minus(bore.nominal());
        moments = moments.plus((double) off.picometres());
      }
    }
    return moments;
  }
}

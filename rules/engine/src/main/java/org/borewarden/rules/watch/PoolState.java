package org.borewarden.rules.watch;

import java.util.Collections;
import java.util.NavigableMap;
import java.util.TreeMap;

/**
 * What a pool remembers. All of it is state and ends with the segment, save what the charts keep.
 *
 * @param part the part whose bores make the newest point, without meaning while bores is 0
 * @param bores how many of its bores were seen
 * @param sum the sum of their z
 * @param points the parts of the segment
 * @param counted the bores of the segment; with {@code points} the bores of a part
 * @param before the charts before that part, by id, so that a further bore of it moves its point
 * @param now the charts with it
 */
public record PoolState(
    long part,
    int bores,
    double sum,
    long points,
    long counted,
    NavigableMap<String, ChartState> before,
    NavigableMap<String, ChartState> now) {
  /** Copies the maps. */
  public PoolState {
    before = Collections.unmodifiableNavigableMap(new TreeMap<>(before));
    now = Collections.unmodifiableNavigableMap(new TreeMap<>(now));
  }

  /** A bore of a part before the newest, which makes no point. */
  PoolState late() {
    return new PoolState(part, bores, sum, points, counted + 1, before, now);
  }
}

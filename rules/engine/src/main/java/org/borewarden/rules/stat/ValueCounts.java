package org.borewarden.rules.stat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;

/**
 * How often each value was seen, for quantiles of however many values in bounded memory. What a
 * gauge shows is whole steps, so that the counts are exact as long as no more than {@value #MOST}
 * values differ; with more, neighbouring ones are put together on a grid and rounded up, toward the
 * larger form. Whole numbers in any one unit; the order of the values does not matter while the
 * grid is 1.
 *
 * @param grid the distance of the values that are told apart; 1 while all are
 * @param values the values that were seen, rising
 * @param counts how often each
 */
public record ValueCounts(long grid, List<Long> values, List<Long> counts) {
  /** The most values that are told apart. */
  public static final int MOST = 256;

  /** No values. */
  public static final ValueCounts NONE = new ValueCounts(1, List.of(), List.of());

  /** Copies the lists. */
  public ValueCounts {
    values = List.copyOf(values);
    counts = List.copyOf(counts);
  }

  /**
   * One value more.
   *
   * @param value any
   * @return the counts with it
   */
  public ValueCounts plus(long value) {
    return plus(value, 1);
  }

  /**
   * The values of both.
   *
   * @param other other values
   * @return the counts of all
   */
  public ValueCounts and(ValueCounts other) {
    ValueCounts sum = other.grid > grid ? on(other.grid) : this;
    for (int i = 0; i < other.values.size(); i++) {
      sum = sum.plus(other.values.get(i), other.counts.get(i));
    }
    return sum;
  }

  private ValueCounts plus(long value, long times) {
    long at = up(value, grid);
    int place = Collections.binarySearch(values, at);
    List<Long> nextCounts = new ArrayList<>(counts);
    if (place >= 0) {
      nextCounts.set(place, nextCounts.get(place) + times);
      return new ValueCounts(grid, values, nextCounts);
    }
    List<Long> nextValues = new ArrayList<>(values);
    nextValues.add(-place - 1, at);
    nextCounts.add(-place - 1, times);
    ValueCounts next = new ValueCounts(grid, nextValues, nextCounts);
    while (next.values.size() > MOST) {
      next = next.on(2 * next.grid);
    }
    return next;
  }

  private ValueCounts on(long coarser) {
    List<Long> nextValues = new ArrayList<>();
    List<Long> nextCounts = new ArrayList<>();
    for (int i = 0; i < values.size(); i++) {
      long at = up(values.get(i), coarser);
      int last = nextValues.size() - 1;
      if (last >= 0 && nextValues.get(last) == at) {
        nextCounts.set(last, nextCounts.get(last) + counts.get(i));
      } else {
        nextValues.add(at);
        nextCounts.add(counts.get(i));
      }
    }
    return new ValueCounts(coarser, nextValues, nextCounts);
  }

  private static long up(long value, long grid) {
    return -Math.floorDiv(-value, grid) * grid;
  }

  /**
   * How many values there were.
   *
   * @return n
   */
  public long total() {
    return counts.stream().mapToLong(count -> count).sum();
  }

  /**
   * A value by its rank.
   *
   * @param rank from 1, the smallest, to n
   * @return the value
   * @throws IllegalArgumentException when there is no such rank
   */
  public long ranked(long rank) {
    long below = 0;
    for (int i = 0; i < values.size(); i++) {
      below += counts.get(i);
      if (rank >= 1 && rank <= below) {
        return values.get(i);
      }
    }
    throw new IllegalArgumentException("there is no value of the rank " + rank);
  }

  /**
   * A quantile: the value at the place p (n + 1), between two by proportion (NIST/SEMATECH
   * e-Handbook 7.2.6.2; Hyndman and Fan 1996, definition 6). With it a quantile is told only where
   * it lies between the smallest and the largest value.
   *
   * @param p over 0 and under 1
   * @return the quantile; empty where its place lies before the first value or after the last
   */
  public OptionalDouble quantile(double p) {
    long n = total();
    double place = p * (n + 1);
    long rank = (long) Math.floor(place);
    if (place < 1 || place > n) {
      return OptionalDouble.empty();
    }
    double value = ranked(rank);
    double part = place - rank;
    return OptionalDouble.of(part == 0 ? value : value + part * (ranked(rank + 1) - value));
  }
}

package org.borewarden.rules.bore;

import java.util.Comparator;
import java.util.List;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.SizeRule;

/**
 * The two ends of what is judged: the low end against the lower limit, the high end against the
 * upper one. For one value both are the same. For a mean that is no whole picometre they are the
 * whole picometres beside it, so that comparing them with a limit is as exact as comparing the sum
 * with n times the limit.
 *
 * @param low the low end
 * @param high the high end, not below the low one
 */
public record Span(Length low, Length high) {
  /**
   * One value.
   *
   * @param value the value
   * @return both ends
   */
  public static Span of(Length value) {
    return new Span(value, value);
  }

  /**
   * What is judged of several places.
   *
   * @param rule which size
   * @param places the size at each place, at least one
   * @return its ends
   */
  public static Span of(SizeRule rule, List<Span> places) {
    List<Long> lows = places.stream().map(s -> s.low.picometres()).sorted().toList();
    List<Long> highs = places.stream().map(s -> s.high.picometres()).sorted().toList();
    int n = lows.size();
    long lowest = lows.get(0);
    long highest = highs.get(n - 1);
    return switch (rule) {
      case EVERY -> span(lowest, highest);
      case SX -> span(lows.get(n - 1), highest);
      case SN -> span(lowest, highs.get(0));
      case SA -> span(floorMean(lows), ceilMean(highs));
      case SM ->
          span(
              floorMean(lows.subList((n - 1) / 2, n / 2 + 1)),
              ceilMean(highs.subList((n - 1) / 2, n / 2 + 1)));
      case SD ->
          span(
              floorMean(List.of(lowest, lows.get(n - 1))),
              ceilMean(List.of(highs.get(0), highest)));
    };
  }

  /**
   * The mean of some values.
   *
   * @param values at least one
   * @return the whole picometres on both sides of it
   */
  public static Span mean(List<Length> values) {
    List<Long> all =
        values.stream().sorted(Comparator.naturalOrder()).map(Length::picometres).toList();
    return span(floorMean(all), ceilMean(all));
  }

  private static Span span(long low, long high) {
    return new Span(new Length(low), new Length(high));
  }

  private static long floorMean(List<Long> values) {
    return Math.floorDiv(sum(values), (long) values.size());
  }

  private static long ceilMean(List<Long> values) {
    return -Math.floorDiv(-sum(values), (long) values.size());
  }

  /** A hundred sizes of ten metres are 1e15 pm: far from the end of a long, which throws. */
  private static long sum(List<Long> values) {
    long sum = 0;
    for (long value : values) {
      sum = Math.addExact(sum, value);
    }
    return sum;
  }
}

package org.borewarden.rules.watch;

import java.util.ArrayList;
import java.util.List;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * The last bores of a stream, for capability over a window: at most {@link
 * org.borewarden.rules.part.WatchRule.Capability#LONGEST_WINDOW}. They are kept themselves, so that
 * a bore which leaves the window leaves no rounding behind; what is told of them is worked out anew
 * in one pass.
 *
 * @param parts their parts, oldest first
 * @param offs picometres from nominal
 * @param segments to which segment each belongs; only equal or not counts
 * @param segment the segment under way
 */
public record CapabilityWindow(
    List<Long> parts, List<Long> offs, List<Integer> segments, int segment) {
  static final CapabilityWindow NONE = new CapabilityWindow(List.of(), List.of(), List.of(), 0);

  /** Copies the lists. */
  public CapabilityWindow {
    parts = List.copyOf(parts);
    offs = List.copyOf(offs);
    segments = List.copyOf(segments);
  }

  CapabilityWindow plus(long part, long off, int most) {
    return new CapabilityWindow(
        last(parts, part, most), last(offs, off, most), last(segments, segment, most), segment);
  }

  private static <T> List<T> last(List<T> before, T newest, int most) {
    int from = Math.max(0, before.size() + 1 - most);
    List<T> next = new ArrayList<>(before.size() + 1 - from);
    next.addAll(before.subList(from, before.size()));
    next.add(newest);
    return next;
  }

  /** A new segment; counted from 0 again once nothing of the window is of an older one. */
  CapabilityWindow begun() {
    return parts.isEmpty()
        ? NONE
        : new CapabilityWindow(parts, offs, segments, Math.incrementExact(segment));
  }

  Moments all() {
    return moments(0, offs.size());
  }

  private Moments moments(int from, int to) {
    double mean = mean(offs, from, to);
    double squares = 0;
    for (int i = from; i < to; i++) {
      double off = offs.get(i) - mean;
      squares += off * off;
    }
    return new Moments(to - from, mean, squares);
  }

  private static double mean(List<Long> values, int from, int to) {
    long origin = values.get(from);
    double sum = 0;
    for (int i = from; i < to; i++) {
      sum += values.get(i) - origin;
    }
    return origin + sum / (to - from);
  }

  /** Where the newest segment begins in the lists. */
  int newest() {
    int from = segments.size() - 1;
    while (from > 0 && segments.get(from - 1).equals(segments.get(from))) {
      from--;
    }
    return from;
  }

  /** The lines of the segments before the newest. */
  SlopeSums before() {
    SlopeSums sums = SlopeSums.NONE;
    int end = newest();
    int from = 0;
    for (int i = 1; i <= end; i++) {
      if (i == end || !segments.get(i).equals(segments.get(from))) {
        sums = sums.plus(line(from, i));
        from = i;
      }
    }
    return sums;
  }

  /** The line of the newest segment, x in parts from the first of the window. */
  Regression open() {
    return line(newest(), parts.size());
  }

  /** The abscissa of a bore. */
  double x(int bore) {
    return parts.get(bore) - parts.get(0);
  }

  private Regression line(int from, int to) {
    double meanX = mean(parts, from, to) - parts.get(0);
    Moments level = moments(from, to);
    double sxx = 0;
    double sxy = 0;
    for (int i = from; i < to; i++) {
      double dx = x(i) - meanX;
      sxx += dx * dx;
      sxy += dx * (offs.get(i) - level.mean());
    }
    double explained = sxx > 0 ? sxy * sxy / sxx : 0;
    return new Regression(
        to - from, meanX, level.mean(), sxx, sxy, Math.max(0, level.squares() - explained));
  }
}

package org.borewarden.demo.speed;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;

/** Durations of one kind, and their row in the table. Used on one thread only. */
final class Times {
  private static final double NANOS_PER_MILLI = 1e6;

  private final List<Long> nanos = new ArrayList<>();

  void add(long duration) {
    nanos.add(duration);
  }

  /** Median, p99 (the value that 99 % do not exceed) and the largest. */
  String row(String what) {
    if (nanos.isEmpty()) {
      return String.format(Locale.ROOT, "| %s | 0 | - | - | - |", what);
    }
    List<Long> sorted = new ArrayList<>(nanos);
    Collections.sort(sorted);
    return String.format(
        Locale.ROOT,
        "| %s | %d | %.2f | %.2f | %.2f |",
        what,
        sorted.size(),
        at(sorted, 0.5),
        at(sorted, 0.99),
        at(sorted, 1.0));
  }

  private static double at(List<Long> sorted, double share) {
    int index = (int) Math.ceil(share * sorted.size()) - 1;
    return sorted.get(Math.max(0, index)) / NANOS_PER_MILLI;
  }
}

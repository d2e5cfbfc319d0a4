package org.borewarden.agent.hold.modbus;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Gaps between beats, in milliseconds. */
final class BeatGaps {
  private final List<Long> millis = new ArrayList<>();

  void add(long gapMillis) {
    millis.add(gapMillis);
  }

  private long over(long limit) {
    return millis.stream().filter(gap -> gap > limit).count();
  }

  String text() {
    if (millis.isEmpty()) {
      return "0 beats";
    }
    List<Long> sorted = millis.stream().sorted().toList();
    return String.format(
        Locale.ROOT,
        "%d beats p99 %d ms max %d ms >0.5s %d >0.75s %d >1.0s %d >1.5s %d",
        sorted.size(),
        sorted.get((int) (sorted.size() * 0.99)),
        sorted.get(sorted.size() - 1),
        over(500),
        over(750),
        over(1000),
        over(1500));
  }
}

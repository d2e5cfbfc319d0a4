package org.borewarden.rules.watch;

import java.util.ArrayList;
import java.util.List;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.TheilSen;

/** The tests of {@link LevelTest}. */
final class LevelTests {
  private LevelTests() {}

  static ChartMemory.Recent next(int most, ChartMemory.Recent before, double w, long part) {
    int from = Math.max(0, before.values().size() + 1 - most);
    List<Double> values = new ArrayList<>(before.values().subList(from, before.values().size()));
    List<Long> parts = new ArrayList<>(before.parts().subList(from, before.parts().size()));
    values.add(w);
    parts.add(part);
    return new ChartMemory.Recent(values, parts);
  }

  static int window(LevelTest test) {
    return test instanceof LevelTest.Jump jump
        ? 2 * jump.bores()
        : ((LevelTest.Drift) test).bores();
  }

  static int signal(LevelTest test, ChartMemory.Recent recent) {
    if (recent.values().size() < window(test)) {
      return 0;
    }
    return test instanceof LevelTest.Jump jump
        ? jumped(jump, recent.values())
        : drifted((LevelTest.Drift) test, recent);
  }

  private static int jumped(LevelTest.Jump jump, List<Double> values) {
    int n = jump.bores();
    double difference = mean(values.subList(n, 2 * n)) - mean(values.subList(0, n));
    double limit = jump.sigmas() * Math.sqrt(2.0 / n);
    return difference > limit ? 1 : difference < -limit ? -1 : 0;
  }

  private static double mean(List<Double> values) {
    return values.stream().mapToDouble(v -> v).average().orElseThrow();
  }

  private static int drifted(LevelTest.Drift drift, ChartMemory.Recent recent) {
    double first = recent.parts().get(0);
    double[] x = recent.parts().stream().mapToDouble(part -> part - first).toArray();
    double[] y = recent.values().stream().mapToDouble(v -> v).toArray();
    TheilSen line = TheilSen.of(x, y, Quantiles.normal((1 + drift.probability()) / 2));
    double wear = drift.wear().picometres();
    return line.low() > wear ? 1 : line.high() < wear ? -1 : 0;
  }

  static ChartMemory.Zones zoned(LevelTest.PreControl test, ChartMemory.Zones before, double w) {
    int side = w > 0 ? 1 : -1;
    if (Math.abs(w) > 1) {
      return new ChartMemory.Zones(0, false, 0, side);
    }
    if (Math.abs(w) <= 0.5) {
      int greens = Math.min(before.greens() + 1, test.greens());
      return new ChartMemory.Zones(greens, before.running() || greens >= test.greens(), 0, 0);
    }
    if (!before.running()) {
      return new ChartMemory.Zones(0, false, 0, 0);
    }
    return before.yellow() == 0
        ? new ChartMemory.Zones(before.greens(), true, side, 0)
        : new ChartMemory.Zones(0, false, 0, before.yellow() == side ? side : ChartTests.NEITHER);
  }
}

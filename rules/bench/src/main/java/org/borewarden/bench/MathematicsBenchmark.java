package org.borewarden.bench;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.watch.RunningStream;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * The mathematics of one bore in place: limits with a guard band and the probability of conformity,
 * the eight patterns, the moving average, the cumulative sums, the least-squares line and its
 * forecast. A tool lasts 1024 bores.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class MathematicsBenchmark {
  private static final int LIFE = 1024;
  private static final long LOWER = 62_000_000_000L;

  /** Where the bores go: with wear each bore of the life has a forecast to be worked out. */
  @Param({"level", "wearing"})
  public String bores = "level";

  private RunningStream stream;
  private long[] sizes;
  private int tests;
  private int next;

  /** Seeded bores, sigma 1 um, at a resolution of 1 um. */
  @Setup
  public void prepare() {
    Limits limits =
        new Limits(Optional.of(new Length(LOWER)), Optional.of(new Length(LOWER + 30_000_000)));
    DecisionRule rule = DecisionRule.Guard.of(BigDecimal.ONE, new Length(2_468_000));
    List<ChartTest> all =
        List.of(
            new ChartTest.Beyond(1, 1, 3),
            new ChartTest.Beyond(9, 9, 0),
            new ChartTest.Trend(6),
            new ChartTest.Alternating(14),
            new ChartTest.Beyond(2, 3, 2),
            new ChartTest.Beyond(4, 5, 1),
            new ChartTest.NearCentre(15, 1),
            new ChartTest.BothSides(8, 1),
            new ChartTest.Ewma(0.2, 2.86, false),
            new ChartTest.Cusum(0.5, 4.77, 0));
    tests = all.size();
    stream =
        new RunningStream(
            Acceptance.of(limits, rule),
            new Length(LOWER + 15_000_000),
            new Length(1_000_000),
            all,
            0.95,
            12);
    Random random = new Random(1);
    double wear = bores.equals("wearing") ? 20.0 / LIFE : 0;
    sizes = new long[LIFE];
    for (int i = 0; i < LIFE; i++) {
      sizes[i] = LOWER + Math.round(22 - wear * i + random.nextGaussian()) * 1_000_000;
    }
  }

  /**
   * One bore.
   *
   * @return what must not be optimised away
   */
  @Benchmark
  public double bore() {
    if (next == LIFE) {
      next = 0;
      stream.toolChanged();
    }
    int found = stream.take(next + 1L, sizes[next]).ordinal();
    next++;
    for (int i = 0; i < tests; i++) {
      found += stream.signal(i);
    }
    return found + stream.partsLeft() + stream.conformity();
  }
}

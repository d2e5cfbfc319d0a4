package org.borewarden.bench;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.SegmentCause;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;
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
 * One bore through its limits with a guard band and through watches. A tool lasts 1024 bores, then
 * a new segment begins.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.NANOSECONDS)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class BoreBenchmark {
  private static final int LIFE = 1024;
  private static final Action ALERT =
      new Action(Action.Level.ALERT, StopKind.END_OF_PART, Optional.empty());
  private static final ChartScale SIGMA = new ChartScale.Given(new Length(1_000_000));

  /** Which watches are on. */
  @Param({"none", "eight-patterns", "ewma", "cusum", "forecast", "all-of-these", "drift"})
  public String watches = "none";

  private Feature feature;
  private Acceptance acceptance;
  private WatchRule[] rules;
  private WatchState[] states;
  private Bore[] bores;
  private int next;

  private static WatchRule chart(int n, ChartTest test) {
    boolean needs = WatchRule.Chart.needsSigma(test);
    return new WatchRule.Chart("w" + n, test, needs ? SIGMA : new ChartScale.None(), ALERT);
  }

  private static List<WatchRule> eight() {
    return List.of(
        chart(1, new ChartTest.Beyond(1, 1, 3)),
        chart(2, new ChartTest.Beyond(9, 9, 0)),
        chart(3, new ChartTest.Trend(6)),
        chart(4, new ChartTest.Alternating(14)),
        chart(5, new ChartTest.Beyond(2, 3, 2)),
        chart(6, new ChartTest.Beyond(4, 5, 1)),
        chart(7, new ChartTest.NearCentre(15, 1)),
        chart(8, new ChartTest.BothSides(8, 1)));
  }

  private static List<WatchRule> rules(String name) {
    WatchRule forecast =
        new WatchRule.Forecast(
            "f",
            0.95,
            12,
            Optional.of(new Length(1_000_000)),
            4,
            OptionalInt.of(10),
            OptionalInt.of(4),
            2,
            ALERT,
            ALERT,
            Optional.empty());
    WatchRule ewma = chart(9, new ChartTest.Ewma(0.2, 2.86, false));
    WatchRule cusum = chart(10, new ChartTest.Cusum(0.5, 4.77, 0));
    return switch (name) {
      case "none" -> List.of();
      case "eight-patterns" -> eight();
      case "ewma" -> List.of(ewma);
      case "cusum" -> List.of(cusum);
      case "forecast" -> List.of(forecast);
      case "drift" -> List.of(chart(11, new LevelTest.Drift(32, 0.99, Length.ZERO)));
      default -> {
        List<WatchRule> all = new ArrayList<>(eight());
        all.addAll(List.of(ewma, cusum, forecast));
        yield List.copyOf(all);
      }
    };
  }

  /** Seeded bores about the centre, sigma 1 um, at a resolution of 1 um. */
  @Setup
  public void prepare() {
    Length nominal = new Length(62_000_000_000L);
    Limits limits = new Limits(Optional.of(nominal), Optional.of(new Length(62_030_000_000L)));
    DecisionRule rule = DecisionRule.Guard.of(BigDecimal.ONE, new Length(2_468_000));
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, ALERT);
    List<WatchRule> on = rules(watches);
    feature =
        new Feature(
            "seat",
            1,
            "housing",
            "g1",
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            nominal,
            limits,
            Unit.MILLIMETRE,
            rule,
            Optional.of(new Length(62_015_000_000L)),
            1,
            out,
            out,
            on);
    acceptance = Acceptance.of(limits, rule);
    rules = on.toArray(WatchRule[]::new);
    states = on.stream().map(Watches::start).toArray(WatchState[]::new);
    Random random = new Random(1);
    bores = new Bore[LIFE];
    for (int i = 0; i < LIFE; i++) {
      long um = Math.round(15 + random.nextGaussian());
      Length value = nominal.plus(new Length(um * 1_000_000));
      bores[i] =
          new Bore("seat", i + 1L, value, Unit.MILLIMETRE, 3, List.of(1L), PartContext.NONE);
    }
  }

  /**
   * One bore.
   *
   * @return what must not be optimised away
   */
  @Benchmark
  public int bore() {
    if (next == LIFE) {
      next = 0;
      for (int i = 0; i < rules.length; i++) {
        states[i] =
            Watches.newSegment(rules[i], states[i], feature, SegmentCause.TOOL_CHANGED).next();
      }
    }
    Bore bore = bores[next++];
    Judgement judgement = Judge.judge(acceptance, bore.value());
    int found = judgement.verdict().ordinal();
    for (int i = 0; i < rules.length; i++) {
      WatchStep step = Watches.step(rules[i], states[i], feature, acceptance, bore, judgement);
      states[i] = step.next();
      found += step.findings().size();
    }
    return found;
  }
}

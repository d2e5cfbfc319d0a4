package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.Constructor;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Random;
import java.util.stream.Stream;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What must hold for every kind of watch over any series of bores; a failure prints its seed. */
class WatchKindsPropertiesTest {
  private static final int LIVES = 10;
  private static final long LOWER = 62_000_000_000L;
  private static final Length SIGMA = new Length(1_000_000);
  private static final ChartScale GIVEN = new ChartScale.Given(SIGMA);
  private static final ChartScale NONE = new ChartScale.None();

  static Stream<WatchRule> kinds() {
    ChartTest beyond = new ChartTest.Beyond(2, 3, 2);
    Length wear = new Length(-500_000);
    return Stream.of(
        chart(beyond, GIVEN),
        chart(beyond, new ChartScale.Baseline(20)),
        chart(beyond, new ChartScale.Sloped(wear, SIGMA)),
        chart(new ChartTest.Trend(4), NONE),
        chart(new ChartTest.Alternating(5), NONE),
        chart(new ChartTest.NearCentre(4, 1), GIVEN),
        chart(new ChartTest.BothSides(2, 0.5), GIVEN),
        chart(new ChartTest.Repeats(3), NONE),
        chart(new ChartTest.Ewma(0.2, 2.86, false), GIVEN),
        chart(new ChartTest.Cusum(0.5, 4.77, 0.5), GIVEN),
        chart(new SpreadTest.MovingRange(3), GIVEN),
        chart(new LevelTest.Jump(3, 3), GIVEN),
        chart(new LevelTest.Drift(8, 0.95, Length.ZERO), NONE),
        chart(new SubgroupTest.Subgroup(3, SubgroupTest.Statistic.MEAN, 3), GIVEN),
        new WatchRule.Capability("c", 0.95, OptionalInt.of(25)),
        new WatchRule.ToolOffset("o", SIGMA, false, false, Optional.empty(), 5, 3, Seat.ALERT),
        new WatchRule.Forecast(
            "f",
            0.95,
            12,
            Optional.empty(),
            4,
            OptionalInt.of(10),
            OptionalInt.of(4),
            1,
            Seat.ALERT,
            Seat.HOLD,
            Optional.of(new SlopePrior.Learnt(3, 5))));
  }

  private static WatchRule chart(ChartTest test, ChartScale scale) {
    return new WatchRule.Chart("w", test, scale, Seat.ALERT);
  }

  private static Seat seat(WatchRule rule, long by) {
    Length lower = new Length(LOWER + by);
    return new Seat(
        lower,
        new Limits(Optional.of(lower), Optional.of(new Length(LOWER + 30_000_000 + by))),
        new Length(LOWER + 15_000_000 + by),
        new DecisionRule.Simple(),
        rule);
  }

  /** Tools that wear, with offsets, a gap and changes of tool: part, micrometres, cause. */
  private static List<long[]> life(long seed) {
    Random random = new Random(seed);
    List<long[]> bores = new ArrayList<>();
    long part = random.nextInt(1000);
    double level = 22;
    for (int i = 0; i < 130; i++) {
      part += 1 + random.nextInt(2);
      long cause = i % 26 == 25 ? 1 : random.nextInt(40) == 0 ? 2 : random.nextInt(90) == 0 ? 3 : 0;
      level = cause == 0 ? level - 0.6 : cause == 1 ? 22 : level;
      bores.add(new long[] {part, Math.round(level + random.nextGaussian()), cause});
    }
    return bores;
  }

  private static WatchStep step(Seat seat, long[] bore, Unit unit) {
    if (bore[2] != 0) {
      SegmentCause cause =
          bore[2] == 1
              ? SegmentCause.TOOL_CHANGED
              : bore[2] == 2 ? SegmentCause.OFFSET_ENTERED : SegmentCause.GAP;
      WatchStep begun =
          Watches.newSegment(
              seat.rule, seat.state, seat.feature, cause, Optional.of(new Length(20_000_000)));
      seat.state = begun.next();
    }
    Length value = seat.feature.nominal().plus(new Length(bore[1] * 1_000_000));
    Bore made = new Bore("seat", bore[0], value, unit, 3, List.of(bore[0]), PartContext.NONE);
    WatchStep step =
        Watches.step(
            seat.rule,
            seat.state,
            seat.feature,
            seat.acceptance,
            made,
            Judge.judge(seat.acceptance, value));
    seat.state = step.next();
    return step;
  }

  @ParameterizedTest
  @MethodSource("kinds")
  void aStateThatIsWrittenDownAndReadBackAfterAnyBoreHasTheSameFuture(WatchRule rule) {
    int found = 0;
    for (long seed = 1; seed <= LIVES; seed++) {
      Seat whole = seat(rule, 0);
      Seat resumed = seat(rule, 0);
      for (long[] bore : life(seed)) {
        WatchStep one = step(whole, bore, Unit.MILLIMETRE);
        resumed.state = (WatchState) copy(resumed.state);
        assertThat(step(resumed, bore, Unit.MILLIMETRE)).as("seed %d", seed).isEqualTo(one);
        found += one.findings().size();
      }
      assertThat(view(resumed)).as("seed %d", seed).isEqualTo(view(whole));
    }
    assertThat(rule instanceof WatchRule.Capability || found > 0).as("it finds").isTrue();
  }

  private static List<Object> view(Seat seat) {
    return List.of(
        Watches.capability(seat.rule, seat.state, seat.feature),
        Watches.capabilityWindow(seat.rule, seat.state, seat.feature),
        Watches.offset(seat.rule, seat.state, seat.feature));
  }

  /** Only differences from nominal count: the same states, to the last bit. */
  @ParameterizedTest
  @MethodSource("kinds")
  void movingNominalLimitsCentreAndBoresTogetherChangesNothing(WatchRule rule) {
    for (long seed = 1; seed <= LIVES; seed++) {
      Seat here = seat(rule, 0);
      Seat there = seat(rule, new Random(seed).nextInt(1_000_000_000));
      for (long[] bore : life(seed)) {
        assertThat(step(there, bore, Unit.MILLIMETRE))
            .as("seed %d", seed)
            .isEqualTo(step(here, bore, Unit.MILLIMETRE));
      }
      assertThat(view(there)).as("seed %d", seed).isEqualTo(view(here));
    }
  }

  /** 1 in = 25.4 mm exactly, so that a size is the same whole picometres in either unit. */
  @ParameterizedTest
  @MethodSource("kinds")
  void theUnitThatAGaugeShowsChangesNothing(WatchRule rule) {
    for (long seed = 1; seed <= LIVES; seed++) {
      Seat millimetres = seat(rule, 0);
      Seat inches = seat(rule, 0);
      for (long[] bore : life(seed)) {
        assertThat(step(inches, bore, Unit.INCH))
            .as("seed %d", seed)
            .isEqualTo(step(millimetres, bore, Unit.MILLIMETRE));
      }
    }
  }

  /** Every record built anew from its components, every number through its text. */
  private static Object copy(Object value) {
    if (value instanceof Record record) {
      return copyOf(record);
    }
    if (value instanceof Double number) {
      return Double.valueOf(Double.toString(number));
    }
    if (value instanceof List<?> list) {
      return list.stream().map(WatchKindsPropertiesTest::copy).toList();
    }
    if (value instanceof Optional<?> optional) {
      return optional.map(WatchKindsPropertiesTest::copy);
    }
    boolean plain =
        value instanceof Number
            || value instanceof Boolean
            || value instanceof OptionalLong
            || value instanceof OptionalInt;
    assertThat(plain).as("no copy of %s is known", value.getClass()).isTrue();
    return value;
  }

  private static Record copyOf(Record record) {
    RecordComponent[] components = record.getClass().getRecordComponents();
    Class<?>[] types =
        Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new);
    Object[] values = new Object[components.length];
    try {
      for (int i = 0; i < values.length; i++) {
        values[i] = copy(components[i].getAccessor().invoke(record));
      }
      Constructor<?> canonical = record.getClass().getDeclaredConstructor(types);
      return (Record) canonical.newInstance(values);
    } catch (ReflectiveOperationException e) {
      throw new LinkageError("cannot copy " + record, e);
    }
  }
}

package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;

/**
 * The one door to all watches: start, then a step for each bore. Pure; each step costs the same
 * however long the segment is.
 *
 * <p>A withheld or confirming bore has no value that may be believed: the state stays as it is,
 * nothing is found and nothing is cleared. An undecided bore counts like any other, for its value
 * is as good as its neighbours'. A bore whose place in cutting order is not known is left out by
 * every watch that needs an order (metrology.md 4.10).
 */
public final class Watches {
  /**
   * How far a part number may lie behind the newest, in parts, and still be an older part that
   * comes late to the gauge. Farther back the counter was set anew, and a new segment begins.
   */
  public static final int LATE_PARTS = 100;

  private Watches() {}

  /**
   * The state before the first bore.
   *
   * @param rule the watch
   * @return its empty state
   */
  public static WatchState start(WatchRule rule) {
    if (rule instanceof WatchRule.Chart chart) {
      return ChartWatch.start(chart);
    }
    if (rule instanceof WatchRule.Capability) {
      return CapabilityState.NONE;
    }
    if (rule instanceof WatchRule.FormCapability) {
      return FormState.NONE;
    }
    if (rule instanceof WatchRule.ToolOffset) {
      return OffsetState.NONE;
    }
    return rule instanceof WatchRule.OneSide ? OneSideState.NONE : ForecastState.NONE;
  }

  /**
   * One bore more of a feature that shares its slope with no other.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @param acceptance the feature's limits and decision rule
   * @param bore the bore
   * @param judgement its verdict
   * @return what follows
   * @throws IllegalArgumentException when the state is that of another kind of watch
   */
  public static WatchStep step(
      WatchRule rule,
      WatchState state,
      Feature feature,
      Acceptance acceptance,
      Bore bore,
      Judgement judgement) {
    return step(rule, state, feature, acceptance, bore, judgement, PooledSlope.NONE);
  }

  /**
   * One bore more.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @param acceptance the feature's limits and decision rule
   * @param bore the bore
   * @param judgement its verdict
   * @param pooled what other features tell of the slope; only a forecast asks for it
   * @return what follows
   * @throws IllegalArgumentException when the state is that of another kind of watch
   */
  public static WatchStep step(
      WatchRule rule,
      WatchState state,
      Feature feature,
      Acceptance acceptance,
      Bore bore,
      Judgement judgement,
      PooledSlope pooled) {
    boolean ordered = feature.streams().ordered(bore.context()) || !needsOrder(rule);
    boolean believed =
        ordered
            && judgement.verdict() != Verdict.WITHHELD
            && judgement.verdict() != Verdict.CONFIRMING;
    if (rule instanceof WatchRule.OneSide oneSide && state instanceof OneSideState run) {
      return believed
          ? OneSideWatch.step(oneSide, run, feature, bore)
          : new WatchStep(run, List.of(), List.of(), false, Optional.empty());
    }
    if (rule instanceof WatchRule.Forecast forecast && state instanceof ForecastState segment) {
      return believed
          ? ForecastWatch.step(forecast, segment, feature, acceptance, bore, pooled)
          : ordered
              ? ForecastWatch.unchanged(forecast, segment, feature, acceptance, pooled)
              : ForecastWatch.unordered(forecast, segment, feature, acceptance);
    }
    if (rule instanceof WatchRule.Chart chart && state instanceof ChartState seen) {
      return believed
          ? ChartWatch.step(chart, seen, feature, bore)
          : new WatchStep(seen, List.of(), List.of(), false, Optional.empty());
    }
    if (rule instanceof WatchRule.Capability of && state instanceof CapabilityState counted) {
      return believed
          ? CapabilityWatch.step(of, counted, feature, bore)
          : new WatchStep(counted, List.of(), List.of(), false, Optional.empty());
    }
    if (rule instanceof WatchRule.FormCapability of && state instanceof FormState counted) {
      return believed
          ? FormWatch.step(of, counted, bore)
          : new WatchStep(counted, List.of(), List.of(), false, Optional.empty());
    }
    if (rule instanceof WatchRule.ToolOffset offset && state instanceof OffsetState line) {
      return believed
          ? OffsetWatch.step(offset, line, feature, bore)
          : new WatchStep(line, List.of(), List.of(), false, Optional.empty());
    }
    throw mixed(rule, state);
  }

  /**
   * What a tool-offset watch advises.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @return empty for another kind of watch, and while nothing can be advised
   */
  public static Optional<OffsetView> offset(WatchRule rule, WatchState state, Feature feature) {
    return rule instanceof WatchRule.ToolOffset of && state instanceof OffsetState line
        ? OffsetWatch.view(of, line, feature)
        : Optional.empty();
  }

  /**
   * What a capability watch knows.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @return empty for another kind of watch, and while too few bores stand
   */
  public static Optional<CapabilityView> capability(
      WatchRule rule, WatchState state, Feature feature) {
    return rule instanceof WatchRule.Capability of && state instanceof CapabilityState counted
        ? CapabilityWatch.view(of, counted, feature)
        : Optional.empty();
  }

  /**
   * What a capability watch knows of the last bores, of whatever tool life.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @return empty for another kind of watch, without a window, and while too few bores stand
   */
  public static Optional<CapabilityView> capabilityWindow(
      WatchRule rule, WatchState state, Feature feature) {
    return rule instanceof WatchRule.Capability of && state instanceof CapabilityState counted
        ? CapabilityWatch.window(of, counted, feature)
        : Optional.empty();
  }

  /**
   * What a watch over a form knows.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @return empty for another kind of watch, and while too few bores stand
   */
  public static Optional<FormView> form(WatchRule rule, WatchState state, Feature feature) {
    return rule instanceof WatchRule.FormCapability of && state instanceof FormState counted
        ? FormWatch.view(of, counted, feature)
        : Optional.empty();
  }

  /**
   * Single bores against fixed limits, equal neighbours at the gauge, and forms that are counted
   * need no cutting order.
   */
  private static boolean needsOrder(WatchRule rule) {
    if (rule instanceof WatchRule.Chart chart) {
      boolean single =
          chart.test() instanceof ChartTest.Beyond beyond
              && beyond.of() == 1
              && chart.scale() instanceof ChartScale.Given;
      return !single && !(chart.test() instanceof ChartTest.Repeats);
    }
    return !(rule instanceof WatchRule.FormCapability);
  }

  /**
   * A new segment begins; what stood stands no longer. A hold that was latched is not touched by
   * this: only its release ends it.
   *
   * <p>A tool change, new rules and a gap forget everything, save that a chart keeps what its
   * baseline taught, a forecast what earlier tools did, and capability its whole lives, until the
   * rules change. After an offset the forecast keeps the slope exactly: the segments are fitted
   * with a common slope and own levels, sigma from their residuals together, and the first bore
   * after the offset already gives a level (with its own, wider, prediction bound).
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @param cause why
   * @return the state to go on with and what is cleared
   * @throws IllegalArgumentException when the state is that of another kind of watch
   */
  public static WatchStep newSegment(
      WatchRule rule, WatchState state, Feature feature, SegmentCause cause) {
    return newSegment(rule, state, feature, cause, Optional.empty());
  }

  /**
   * A new segment begins, with what was said of an offset.
   *
   * @param rule the watch
   * @param state what it remembers
   * @param feature the feature that it watches
   * @param cause why
   * @param asked the stated change on diameter, where the cause is an offset of a stated amount
   * @return the state to go on with and what is cleared
   * @throws IllegalArgumentException when the state is that of another kind of watch
   */
  public static WatchStep newSegment(
      WatchRule rule,
      WatchState state,
      Feature feature,
      SegmentCause cause,
      Optional<Length> asked) {
    if (rule instanceof WatchRule.ToolOffset && state instanceof OffsetState line) {
      return segment(
          OffsetWatch.newSegment(line, cause, asked),
          line.stands() ? List.of(OffsetWatch.key(rule, feature)) : List.of());
    }
    if (rule instanceof WatchRule.OneSide && state instanceof OneSideState run) {
      return segment(
          OneSideState.NONE, run.stands() ? List.of(OneSideWatch.key(rule, feature)) : List.of());
    }
    if (rule instanceof WatchRule.Forecast forecast && state instanceof ForecastState segment) {
      return segment(
          ForecastWatch.newSegment(forecast, segment, cause),
          segment.stands() ? List.of(ForecastWatch.key(rule, feature)) : List.of());
    }
    if (rule instanceof WatchRule.Chart chart && state instanceof ChartState seen) {
      return segment(
          ChartWatch.newSegment(chart, seen, cause),
          seen.side() != 0 ? List.of(ChartWatch.key(chart, feature)) : List.of());
    }
    if (rule instanceof WatchRule.Capability && state instanceof CapabilityState counted) {
      return segment(CapabilityWatch.newSegment(counted, cause), List.of());
    }
    if (rule instanceof WatchRule.FormCapability && state instanceof FormState counted) {
      return segment(FormWatch.newSegment(counted, cause), List.of());
    }
    throw mixed(rule, state);
  }

  private static WatchStep segment(WatchState next, List<String> cleared) {
    return new WatchStep(next, List.of(), cleared, false, Optional.empty());
  }

  private static IllegalArgumentException mixed(WatchRule rule, WatchState state) {
    return new IllegalArgumentException(
        "the state of watch " + rule.id() + " is that of another kind: " + state);
  }
}

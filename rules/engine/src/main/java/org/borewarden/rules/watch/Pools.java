package org.borewarden.rules.watch;

import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.WatchRule;

/**
 * The one door to pools: z = (bore - centre) / sigma of its feature, one part one point
 * (metrology.md 4.9). Of several bores of one part the point is their mean z; since the bores of
 * one tool need not be independent it is not spread out again, so that a pool is rather slow than
 * hasty. A bore whose part is not named has no place in it and is left out.
 */
public final class Pools {
  private Pools() {}

  /**
   * The state before the first bore.
   *
   * @param pool the pool
   * @return its empty state
   */
  public static PoolState start(Pool pool) {
    NavigableMap<String, ChartState> charts = new TreeMap<>();
    pool.charts().forEach(chart -> charts.put(chart.id(), ChartWatch.start(chart)));
    return new PoolState(0, 0, 0, 0, 0, charts, charts);
  }

  /**
   * One bore more.
   *
   * @param pool the pool
   * @param state what it remembers
   * @param feature the feature of the bore, a member or not
   * @param bore the bore
   * @param judgement its verdict; a withheld or confirming bore changes nothing
   * @return what follows
   */
  public static PoolStep step(
      Pool pool, PoolState state, Feature feature, Bore bore, Judgement judgement) {
    Optional<Pool.Member> member =
        pool.members().stream().filter(m -> m.feature().equals(feature.id())).findFirst();
    OptionalLong place = feature.streams().place(bore.context());
    boolean believed =
        judgement.verdict() != Verdict.WITHHELD && judgement.verdict() != Verdict.CONFIRMING;
    if (member.isEmpty() || place.isEmpty() || feature.centre().isEmpty() || !believed) {
      return new PoolStep(state, List.of(), List.of());
    }
    long part = place.getAsLong();
    Length off = bore.followed().minus(feature.centre().get());
    double z = (double) off.picometres() / member.get().sigma().picometres();
    boolean same = state.bores() > 0 && part == state.part();
    boolean setBack = state.bores() > 0 && state.part() - part > Watches.LATE_PARTS;
    if (state.bores() > 0 && part < state.part() && !setBack) {
      // Too late for a point; the forecasts still take it, so that it counts as one of a part.
      return new PoolStep(state.late(), List.of(), List.of());
    }
    NavigableMap<String, ChartState> base =
        setBack ? begun(pool, state.now(), SegmentCause.GAP) : same ? state.before() : state.now();
    int bores = same ? state.bores() + 1 : 1;
    double sum = same ? state.sum() + z : z;
    long points = (setBack ? 0 : state.points()) + (same ? 0 : 1);
    long counted = (setBack ? 0 : state.counted()) + 1;
    return pointed(
        pool, state, feature, new PoolState(part, bores, sum, points, counted, base, base));
  }

  private static PoolStep pointed(Pool pool, PoolState was, Feature feature, PoolState base) {
    NavigableMap<String, ChartState> now = new TreeMap<>();
    List<Finding> findings = new ArrayList<>();
    List<String> cleared = new ArrayList<>();
    for (WatchRule.Chart chart : pool.charts()) {
      ChartState next =
          ChartWatch.pooled(
              chart, charted(base.before(), chart), base.part(), base.sum() / base.bores());
      now.put(chart.id(), next);
      int stood = charted(was.now(), chart).side();
      if (next.side() != 0 && next.side() != stood) {
        findings.add(ChartWatch.finding(chart, pool.id(), feature.id(), next.side()));
      } else if (next.side() == 0 && stood != 0) {
        cleared.add(ChartWatch.key(chart, pool.id()));
      }
    }
    PoolState next =
        new PoolState(
            base.part(),
            base.bores(),
            base.sum(),
            base.points(),
            base.counted(),
            base.before(),
            now);
    return new PoolStep(next, findings, cleared);
  }

  private static ChartState charted(
      NavigableMap<String, ChartState> states, WatchRule.Chart chart) {
    ChartState state = states.get(chart.id());
    return state == null ? ChartWatch.start(chart) : state;
  }

  private static NavigableMap<String, ChartState> begun(
      Pool pool, NavigableMap<String, ChartState> states, SegmentCause cause) {
    NavigableMap<String, ChartState> begun = new TreeMap<>();
    for (WatchRule.Chart chart : pool.charts()) {
      begun.put(chart.id(), ChartWatch.newSegment(chart, charted(states, chart), cause));
    }
    return begun;
  }

  /**
   * A new segment begins; what stood stands no longer.
   *
   * @param pool the pool
   * @param state what it remembers
   * @param cause why
   * @return the state to go on with and what is cleared
   */
  public static PoolStep newSegment(Pool pool, PoolState state, SegmentCause cause) {
    NavigableMap<String, ChartState> begun = begun(pool, state.now(), cause);
    // An offset gives a new level; the slope, and what it rests on, goes on.
    boolean goesOn = cause == SegmentCause.OFFSET_ENTERED;
    return new PoolStep(
        new PoolState(
            0, 0, 0, goesOn ? state.points() : 0, goesOn ? state.counted() : 0, begun, begun),
        List.of(),
        standing(pool, state.now()));
  }

  /**
   * A bore is taken back: the newest point is no more where it is of that part.
   *
   * @param pool the pool
   * @param state what it remembers
   * @param part the part of the bore
   * @return the state before that part and what stands no longer
   */
  public static PoolStep without(Pool pool, PoolState state, long part) {
    if (state.bores() == 0 || part != state.part()) {
      return new PoolStep(state, List.of(), List.of());
    }
    List<String> cleared = new ArrayList<>(standing(pool, state.now()));
    cleared.removeAll(standing(pool, state.before()));
    return new PoolStep(
        new PoolState(
            0,
            0,
            0,
            state.points() - 1,
            state.counted() - state.bores(),
            state.before(),
            state.before()),
        List.of(),
        cleared);
  }

  private static List<String> standing(Pool pool, NavigableMap<String, ChartState> states) {
    return pool.charts().stream()
        .filter(chart -> charted(states, chart).side() != 0)
        .map(chart -> ChartWatch.key(chart, pool.id()))
        .toList();
  }
}

package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.SlopeSums;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.ForecastState;
import org.borewarden.rules.watch.PoolState;
import org.borewarden.rules.watch.PoolStep;
import org.borewarden.rules.watch.PooledSlope;
import org.borewarden.rules.watch.Pools;
import org.borewarden.rules.watch.SegmentCause;

/** The streams that several features share. */
final class PooledStreams {
  private PooledStreams() {}

  static void judged(
      Work work,
      Feature feature,
      Bore bore,
      Judgement judgement,
      List<Finding> findings,
      List<String> cleared) {
    for (Pool pool : of(work, feature)) {
      PoolStep step = Pools.step(pool, state(work, pool), feature, bore, judgement);
      work.pools.put(pool.id(), step.next());
      findings.addAll(step.findings());
      cleared.addAll(step.cleared());
    }
  }

  /** A tool that cuts one of its features was changed or set anew. */
  static void newSegment(Work work, Set<String> features, SegmentCause cause) {
    for (Pool pool : pools(work)) {
      if (pool.members().stream().anyMatch(m -> features.contains(m.feature()))) {
        PoolStep step = Pools.newSegment(pool, state(work, pool), cause);
        work.pools.put(pool.id(), step.next());
        step.cleared().forEach(key -> Alerts.returned(work, key));
      }
    }
  }

  static void discarded(Work work, Feature feature, long part) {
    for (Pool pool : of(work, feature)) {
      PoolStep step = Pools.without(pool, state(work, pool), part);
      work.pools.put(pool.id(), step.next());
      step.cleared().forEach(key -> Alerts.returned(work, key));
    }
  }

  /** A pool that is the same, of features that are the same, goes on; any other begins anew. */
  static void loaded(Work work, Optional<RuleSet> before, RuleSet rules) {
    NavigableMap<String, PoolState> states = new TreeMap<>(work.pools);
    List<Pool> stay = new ArrayList<>();
    for (Pool pool : before.map(RuleSet::pools).orElse(List.of())) {
      boolean same =
          rules.pools().contains(pool)
              && before.orElseThrow().features().stream()
                  .filter(f -> pool.members().stream().anyMatch(m -> m.feature().equals(f.id())))
                  .allMatch(rules.features()::contains);
      if (same) {
        stay.add(pool);
      } else {
        PoolStep step = Pools.newSegment(pool, state(work, pool), SegmentCause.RULES_CHANGED);
        step.cleared().forEach(key -> Alerts.returned(work, key));
        states.remove(pool.id());
      }
    }
    states.keySet().retainAll(stay.stream().map(Pool::id).toList());
    work.pools.clear();
    work.pools.putAll(states);
  }

  /**
   * What the other features of a pool with a common slope tell of it, after the bore that {@link
   * #judged} was told of. Without a part of its own a bore has no place in the pool, nor in this.
   */
  static PooledSlope slope(Work work, FeatureState asks, Bore bore) {
    String id = asks.feature().id();
    Optional<Pool> common = of(work, asks.feature()).stream().filter(Pool::commonSlope).findFirst();
    if (common.isEmpty() || asks.feature().streams().place(bore.context()).isEmpty()) {
      return PooledSlope.NONE;
    }
    PoolState state = state(work, common.get());
    if (state.points() == 0) {
      return PooledSlope.NONE;
    }
    double own = sigma(common.get(), id);
    PooledSlope slope = new PooledSlope(SlopeSums.NONE, boresPerPart(work, common.get()), 0);
    for (Pool.Member member : common.get().members()) {
      FeatureState other = work.features.get(member.feature());
      if (!member.feature().equals(id) && other != null) {
        double ratio = own / member.sigma().picometres();
        Optional<ForecastState> forecast = forecast(other, asks.stream(bore.context()));
        if (forecast.isPresent()) {
          slope = slope.and(forecast.get(), ratio * ratio);
        }
      }
    }
    return slope;
  }

  /**
   * Where the forecasts know bores that the pool has not seen (it begins anew with its rules, they
   * go on), a part may have had a bore of each member: rather too slow than too sure.
   */
  private static double boresPerPart(Work work, Pool pool) {
    PoolState state = state(work, pool);
    long known =
        pool.members().stream()
            .map(member -> work.features.get(member.feature()))
            .filter(Objects::nonNull)
            .flatMap(
                feature ->
                    feature.streams().stream()
                        .flatMap(stream -> forecast(feature, stream).stream()))
            .mapToLong(ForecastState::bores)
            .sum();
    return known > state.counted()
        ? pool.members().size()
        : (double) state.counted() / state.points();
  }

  private static double sigma(Pool pool, String feature) {
    return pool.members().stream()
        .filter(member -> member.feature().equals(feature))
        .mapToDouble(member -> member.sigma().picometres())
        .findFirst()
        .orElseThrow();
  }

  /** What the first forecast of a feature remembers, in the stream of the same name. */
  private static Optional<ForecastState> forecast(FeatureState feature, String stream) {
    return feature.watchesOf(stream).stream()
        .filter(WatchRule.Forecast.class::isInstance)
        .map(feature::watch)
        .filter(ForecastState.class::isInstance)
        .map(ForecastState.class::cast)
        .findFirst();
  }

  private static List<Pool> of(Work work, Feature feature) {
    return pools(work).stream()
        .filter(p -> p.members().stream().anyMatch(m -> m.feature().equals(feature.id())))
        .toList();
  }

  private static List<Pool> pools(Work work) {
    return work.rules.map(RuleSet::pools).orElse(List.of());
  }

  private static PoolState state(Work work, Pool pool) {
    PoolState state = work.pools.get(pool.id());
    return state == null ? Pools.start(pool) : state;
  }
}

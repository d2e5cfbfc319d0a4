package org.borewarden.rules.engine;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.watch.SegmentCause;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;

/** A new segment of the streams that a tool cuts. Never clears a latch. */
final class Segments {
  private Segments() {}

  /**
   * Begins a new segment for the features of a cell that a tool cuts: those that name this tool and
   * those that name none; all of them where no tool is named.
   *
   * @param asked the change on diameter that was stated for an offset
   * @return the ids of these features
   */
  static Set<String> begin(
      Work work, String cell, Optional<String> tool, SegmentCause cause, Optional<Length> asked) {
    Set<String> begun = new TreeSet<>();
    for (FeatureState state : List.copyOf(work.features.values())) {
      if (state.feature().cell().equals(Optional.of(cell)) && cuts(tool, state.feature())) {
        begin(work, state, cause, asked);
        begun.add(state.feature().id());
      }
    }
    PooledStreams.newSegment(work, begun, cause);
    Shifts.segment(work, begun, cause);
    return begun;
  }

  private static boolean cuts(Optional<String> tool, Feature feature) {
    return tool.isEmpty() || feature.tool().isEmpty() || feature.tool().equals(tool);
  }

  /** The keys of what the last bores of a feature had found and what stands. */
  static Set<String> standing(FeatureState state) {
    Feature feature = state.feature();
    Set<String> keys = new TreeSet<>();
    state
        .lastVerdict()
        .filter(Verdict::isOut)
        .ifPresent(verdict -> keys.add(verdict.key() + "/" + feature.id()));
    for (String stream : state.streams()) {
      for (WatchRule rule : state.watchesOf(stream)) {
        keys.addAll(
            Watches.newSegment(rule, state.watch(rule), feature, SegmentCause.RULES_CHANGED)
                .cleared());
      }
    }
    return keys;
  }

  private static void begin(
      Work work, FeatureState state, SegmentCause cause, Optional<Length> asked) {
    Map<String, WatchState> next = new HashMap<>(state.watches());
    for (String stream : state.streams()) {
      for (WatchRule rule : state.watchesOf(stream)) {
        WatchStep step = Watches.newSegment(rule, state.watch(rule), state.feature(), cause, asked);
        next.put(rule.id(), step.next());
        step.cleared().forEach(key -> Alerts.returned(work, key));
      }
    }
    FeatureState begun = state.withWatches(next).withNewSegment();
    work.features.put(state.feature().id(), begun);
    if (begun.bores() > 0) {
      work.effect(new Effect.TrendMoved(begun.view()));
    }
  }
}

package org.borewarden.rules.engine;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.watch.SegmentCause;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;

/** A new segment of the streams that a tool cuts. Never clears a latch. */
final class Segments {
  private Segments() {}

  /** Begins a new segment for the features of a cell. */
  static void begin(Work work, String cell, Optional<String> tool, SegmentCause cause) {
    for (FeatureState state : List.copyOf(work.features.values())) {
      if (state.feature().cell().equals(Optional.of(cell))) {
        begin(work, state, cause);
      }
    }
  }

  static void begin(Work work, FeatureState state, SegmentCause cause) {
    Map<String, WatchState> next = new HashMap<>(state.watches());
    for (WatchRule rule : state.feature().watches()) {
      WatchStep step = Watches.newSegment(rule, state.watch(rule.id()), state.feature(), cause);
      next.put(rule.id(), step.next());
      step.cleared().forEach(key -> Alerts.returned(work, key));
    }
    FeatureState begun = state.withWatches(next).withNewSegment();
    work.features.put(state.feature().id(), begun);
    if (begun.bores() > 0) {
      work.effect(new Effect.TrendMoved(begun.view()));
    }
  }
}

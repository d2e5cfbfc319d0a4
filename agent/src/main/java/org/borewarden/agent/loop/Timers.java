package org.borewarden.agent.loop;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.borewarden.rules.engine.Effect;

/**
 * The timers that the engine asked for. A timer runs out by the monotonic clock or by the wall
 * clock, whichever comes first, so that a suspended machine does not stretch a bypass. Used on the
 * loop thread only.
 */
final class Timers {
  private record Due(long nanos, Instant wall) {}

  private final Map<String, Due> due = new LinkedHashMap<>();

  /** Takes a timer effect; other effects are ignored. */
  void take(Effect effect, Instant at, long nanos) {
    if (effect instanceof Effect.TimerSet set) {
      due.put(set.timer(), new Due(nanos + set.after().toNanos(), at.plus(set.after())));
    } else if (effect instanceof Effect.TimerCleared cleared) {
      due.remove(cleared.timer());
    }
  }

  /**
   * Takes a timer effect of a run before this one: what is left of it by the wall clock.
   *
   * @param effect the effect
   * @param at the wall time of its event
   * @param now the wall time now
   * @param nanos the monotonic time now
   */
  void restore(Effect effect, Instant at, Instant now, long nanos) {
    if (effect instanceof Effect.TimerSet set) {
      Instant end = at.plus(set.after());
      Duration left = Duration.between(now, end);
      long bounded = Math.max(0, Math.min(left.toNanos(), set.after().toNanos()));
      due.put(set.timer(), new Due(nanos + bounded, end));
    } else if (effect instanceof Effect.TimerCleared cleared) {
      due.remove(cleared.timer());
    }
  }

  void fired(String timer) {
    due.remove(timer);
  }

  /** The timers that have run out, in the order in which they did. */
  List<String> expired(Instant at, long nanos) {
    List<Map.Entry<String, Due>> out = new ArrayList<>();
    for (Map.Entry<String, Due> entry : due.entrySet()) {
      Due when = entry.getValue();
      if (when.nanos() - nanos <= 0 || !when.wall().isAfter(at)) {
        out.add(entry);
      }
    }
    out.sort(Comparator.comparingLong(e -> e.getValue().nanos() - nanos));
    return out.stream().map(Map.Entry::getKey).toList();
  }

  /** Nanoseconds until the next timer, at most {@code most}. */
  long untilNext(long nanos, long most) {
    long least = most;
    for (Due when : due.values()) {
      least = Math.min(least, Math.max(0, when.nanos() - nanos));
    }
    return least;
  }
}

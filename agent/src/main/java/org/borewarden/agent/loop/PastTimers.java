package org.borewarden.agent.loop;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.Step;

/**
 * The timers that stand after each event, by the same rule at run time and in a replay. One thread
 * each.
 */
final class PastTimers {
  private final Map<String, PastTimer> timers = new LinkedHashMap<>();

  PastTimers(List<PastTimer> standing) {
    standing.forEach(timer -> timers.put(timer.timer().timer(), timer));
  }

  void take(Stamped event, Step step) {
    if (event.event() instanceof Event.TimerFired fired) {
      timers.remove(fired.timer());
    }
    for (Effect effect : step.effects()) {
      if (effect instanceof Effect.TimerSet set) {
        timers.put(set.timer(), new PastTimer(event.at(), set));
      } else if (effect instanceof Effect.TimerCleared cleared) {
        timers.remove(cleared.timer());
      }
    }
  }

  List<PastTimer> list() {
    return List.copyOf(timers.values());
  }
}

package org.borewarden.agent;

import java.time.Instant;
import java.util.Optional;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.observe.InputMetrics;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.RingChecks;

/** Shows what the rings say of the gauges, as metrics. */
final class GaugeShow {
  private GaugeShow() {}

  /** What a turn changed of it; a start and other rules show all gauges anew. */
  static void of(Turn turn, InputMetrics input) {
    Event event = turn.event().event();
    if (event instanceof Event.AgentStarted || event instanceof Event.RulesLoaded) {
      turn.state().gauges().values().forEach(gauge -> show(turn, gauge, input));
      return;
    }
    for (Effect effect : turn.step().effects()) {
      if (effect instanceof Effect.GaugeMoved moved) {
        show(turn, moved.gauge(), input);
      }
    }
  }

  private static void show(Turn turn, GaugeView gauge, InputMetrics input) {
    input.belief(gauge.gauge(), gauge.truth().map(TruthView::belief));
    if (gauge.truth().filter(TruthView::due).isPresent()) {
      input.ringCheckAsked(gauge.gauge(), turn.event().at());
    } else {
      input.ringCheckDue(gauge.gauge(), due(turn, gauge));
    }
  }

  /** By its time; the end of a count of bores cannot be told beforehand. */
  private static Optional<Instant> due(Turn turn, GaugeView gauge) {
    return turn.state()
        .rules()
        .flatMap(
            rules ->
                rules.gauges().stream()
                    .filter(rule -> rule.id().equals(gauge.gauge()))
                    .findFirst()
                    .flatMap(GaugeRules::checks))
        .flatMap(RingChecks::every)
        .flatMap(every -> gauge.truth().flatMap(TruthView::checked).map(at -> at.plus(every)));
  }
}

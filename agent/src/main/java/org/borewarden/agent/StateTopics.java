package org.borewarden.agent;

import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.payload.StatePayloads;
import org.borewarden.agent.publish.mqtt.StatePublisher;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.part.Feature;

/**
 * The retained topics. A withdrawn permit goes out at once; all else waits for its record. Used on
 * the loop thread only.
 */
final class StateTopics implements Outlet {
  private final Self self;
  private final StatePublisher publisher;
  private final Supplier<List<String>> refusedLines;
  private Set<String> features;

  /**
   * Who speaks.
   *
   * @param agent the agent's id
   * @param version its version
   * @param journal the journal's id
   * @param gauges the gauges that the config names
   */
  record Self(String agent, String version, String journal, Set<String> gauges) {
    Self {
      gauges = Set.copyOf(gauges);
    }
  }

  /**
   * The topics of an agent that goes on from a replayed journal.
   *
   * @param self who speaks
   * @param before the state before this start, whose topics may still stand on the broker
   * @param publisher keeps the topics
   * @param refusedLines what is wrong with the rules file, one line each; empty while it is good
   */
  StateTopics(
      Self self, State before, StatePublisher publisher, Supplier<List<String>> refusedLines) {
    this.self = self;
    this.publisher = publisher;
    this.refusedLines = refusedLines;
    this.features = features(before);
  }

  private static Set<String> features(State state) {
    return state.rules().stream()
        .flatMap(rules -> rules.features().stream())
        .map(Feature::id)
        .collect(Collectors.toCollection(TreeSet::new));
  }

  @Override
  public void stepped(Turn turn) {
    publisher.rules(turn.rules());
    for (Decision decision : turn.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && !changed.hold().permitted()) {
        hold(turn, changed.hold(), OptionalLong.empty());
      }
    }
  }

  @Override
  public void synced(Turn turn) {
    int index = 0;
    for (Decision decision : turn.decisions()) {
      if (decision instanceof Decision.HoldChanged changed) {
        hold(turn, changed.hold(), OptionalLong.of(turn.seqOf(index)));
      }
      index++;
    }
    for (Effect effect : turn.step().effects()) {
      if (effect instanceof Effect.TrendMoved moved) {
        publisher.put(
            "trend/" + moved.trend().feature(),
            StatePayloads.trend(self.agent(), moved.trend(), turn.event().at()));
      } else if (effect instanceof Effect.GaugeMoved moved) {
        publisher.put(
            "gauge/" + moved.gauge().gauge(),
            StatePayloads.gauge(self.agent(), moved.gauge(), turn.event().at()));
      }
    }
    ofAgentLife(turn);
  }

  /** What an earlier config or earlier rules named must not stand on the broker for ever. */
  private void ofAgentLife(Turn turn) {
    Event event = turn.event().event();
    if (event instanceof Event.AgentStarted) {
      turn.state().retiredCells().forEach(cell -> publisher.retire("hold/" + cell));
      turn.state().gauges().keySet().stream()
          .filter(gauge -> !self.gauges().contains(gauge))
          .forEach(gauge -> publisher.retire("gauge/" + gauge));
    } else if (event instanceof Event.RulesLoaded) {
      Set<String> now = features(turn.state());
      features.stream()
          .filter(feature -> !now.contains(feature))
          .forEach(feature -> publisher.retire("trend/" + feature));
      features = now;
    } else if (!(event instanceof Event.RulesRefused)) {
      return;
    }
    publisher.put(
        "agent",
        StatePayloads.agent(
            self.agent(), self.version(), self.journal(), turn.rules(), refusedLines.get()));
  }

  private void hold(Turn turn, HoldView hold, OptionalLong seq) {
    publisher.put(
        "hold/" + hold.cell(), StatePayloads.hold(self.agent(), turn.state().bootId(), hold, seq));
  }
}

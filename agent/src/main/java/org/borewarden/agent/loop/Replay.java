package org.borewarden.agent.loop;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.payload.EventCodec;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.part.RuleSet;

/** Rebuilds the engine's state from the journal by the same fold as at run time. */
public final class Replay {
  private static final int PAGE = 1000;

  private final Function<String, RuleSet> rules;
  private final Map<String, PastTimer> timers = new LinkedHashMap<>();
  private State state = State.initial();
  private long lastSeq;
  private boolean clean = true;
  private boolean faulted;

  private Replay(Function<String, RuleSet> rules) {
    this.rules = rules;
  }

  /**
   * What the journal gives at a start.
   *
   * @param state the state after its last event
   * @param lastSeq the last seq in use
   * @param clean whether the run before ended on request and without a fault of our own, or there
   *     was none
   * @param timers the timers that stand
   */
  public record Replayed(State state, long lastSeq, boolean clean, List<PastTimer> timers) {
    /** Copies the list. */
    public Replayed {
      timers = List.copyOf(timers);
    }
  }

  /**
   * A timer that a run before this one had set.
   *
   * @param at the wall time at which it was set
   * @param timer what was asked for
   */
  public record PastTimer(Instant at, Effect.TimerSet timer) {}

  /**
   * Folds the whole journal.
   *
   * @param journal the journal
   * @param rules gives the rules of a revision whose text the journal keeps
   * @return the state and where it stands
   * @throws JournalException when the journal cannot be read, or an entry is not what it says
   */
  public static Replayed fold(JournalView journal, Function<String, RuleSet> rules)
      throws JournalException {
    Replay replay = new Replay(rules);
    List<Entry> page = journal.read(1, PAGE);
    while (!page.isEmpty()) {
      for (Entry entry : page) {
        replay.take(entry);
      }
      page = journal.read(replay.lastSeq + 1, PAGE);
    }
    return new Replayed(
        replay.state, replay.lastSeq, replay.clean, List.copyOf(replay.timers.values()));
  }

  private void take(Entry entry) throws JournalException {
    lastSeq = entry.seq();
    if (!EventCodec.isEvent(entry.kind())) {
      return;
    }
    Event event = event(entry);
    if (event instanceof Event.AgentStarted) {
      faulted = false;
    }
    Step step =
        Boundary.step(state, new Stamped(entry.seq(), entry.at(), event), e -> faulted = true);
    state = step.next();
    clean = event instanceof Event.AgentStopped && !faulted;
    if (event instanceof Event.TimerFired fired) {
      timers.remove(fired.timer());
    }
    for (Effect effect : step.effects()) {
      if (effect instanceof Effect.TimerSet set) {
        timers.put(set.timer(), new PastTimer(entry.at(), set));
      } else if (effect instanceof Effect.TimerCleared cleared) {
        timers.remove(cleared.timer());
      }
    }
  }

  private Event event(Entry entry) throws JournalException {
    try {
      return EventCodec.decode(entry.kind(), entry.body(), rules);
    } catch (JsonProcessingException | IllegalArgumentException e) {
      throw new JournalException(
          "reading journal entry " + entry.seq() + " (" + entry.kind() + ")", e);
    }
  }
}

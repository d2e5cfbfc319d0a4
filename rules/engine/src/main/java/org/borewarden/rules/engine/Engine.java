package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.Reason;

/**
 * The rules' only door: an event in, the next state and what follows out. Pure: the same events
 * give the same decisions, at run time and when a journal is replayed.
 */
public final class Engine {
  private Engine() {}

  /**
   * Takes one event.
   *
   * @param state the state before it
   * @param event what happened, with its seq and time
   * @return the state after it, what is recorded and what is not
   */
  public static Step step(State state, Stamped event) {
    Work work = new Work(state, event);
    take(work, event.event());
    Starting.look(work);
    Cells.stillHeard(work);
    Holding.tell(work, state);
    return work.step();
  }

  private static void take(Work work, Event event) {
    if (event instanceof Event.ReadingTaken taken) {
      Judging.take(work, taken.reading());
    } else if (event instanceof Event.FrameRejected rejected) {
      Gauges.rejected(work, rejected);
    } else if (event instanceof Event.SourceChanged changed) {
      Gauges.changed(work, changed);
    } else if (event instanceof Event.CellReported reported) {
      Cells.take(work, reported.cell(), reported.report());
    } else if (event instanceof Event.CellTestWalked walked) {
      CellTesting.walked(work, walked);
    } else if (event instanceof Event.LinkChanged changed) {
      Worlds.link(work, changed);
    } else if (event instanceof Event.CommandGiven given) {
      Orders.take(work, given.command());
    } else if (event instanceof Event.TimerFired fired) {
      Worlds.timer(work, fired.timer());
    } else if (event instanceof Event.GrantSynced synced) {
      Holding.apply(work, synced.cell(), new HoldInput.GrantSynced(synced.revision()));
    } else {
      ofAgentLife(work, event);
    }
  }

  private static void ofAgentLife(Work work, Event event) {
    if (event instanceof Event.AgentStarted started) {
      Starting.started(work, started);
    } else if (event instanceof Event.RulesLoaded loaded) {
      Starting.loaded(work, loaded.rules());
    } else if (event instanceof Event.RulesRefused) {
      Starting.refused(work);
    } else if (event instanceof Event.JournalChanged changed) {
      Worlds.everywhere(work, new Condition(Reason.JOURNAL, Optional.empty()), !changed.writable());
    } else if (event instanceof Event.JournalDoubted doubted) {
      Worlds.everywhere(
          work, new Condition(Reason.JOURNAL, Optional.of(doubted.subject())), doubted.stands());
    } else if (event instanceof Event.BeatChanged changed) {
      Worlds.everywhere(work, new Condition(Reason.STALL, Optional.empty()), changed.overdue());
    } else if (event instanceof Event.BrokerChanged changed) {
      Worlds.broker(work, changed);
    }
    // AgentStopped, CommandRefused, ClockStepped and JournalNoted are recorded and change nothing
    // here.
  }
}

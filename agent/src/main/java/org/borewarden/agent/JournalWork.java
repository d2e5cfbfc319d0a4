package org.borewarden.agent;

import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Turn;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.hold.AnswerCode;

/**
 * What accepted commands do outside the rules, once they are recorded: to the journal itself, and
 * to the reading of the rules file.
 *
 * @param journal the journal
 * @param reload reads the rules file again; never waits
 */
record JournalWork(JournalStore journal, Runnable reload) implements Outlet {
  @Override
  public void stepped(Turn turn) {
    // Nothing is done before it is recorded.
  }

  @Override
  public void synced(Turn turn) {
    if (turn.event().event() instanceof Event.CommandGiven given && accepted(turn)) {
      if (given.command().order() instanceof Order.SendAgain again) {
        journal.sendAgain(again.from(), again.to());
      } else if (given.command().order() instanceof Order.AdoptJournal) {
        journal.adopted();
      } else if (given.command().order() instanceof Order.Reload) {
        reload.run();
      }
    }
  }

  private static boolean accepted(Turn turn) {
    return turn.decisions().stream()
        .anyMatch(
            decision ->
                decision instanceof Decision.CommandAnswered answered
                    && answered.code() == AnswerCode.ACCEPTED);
  }
}

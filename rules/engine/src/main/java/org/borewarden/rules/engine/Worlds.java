package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.Reason;

/** What the world around the agent does to the permits: links, disk, broker, time. */
final class Worlds {
  static final Condition BROKER = new Condition(Reason.BROKER, Optional.empty());
  private static final Condition LINK = new Condition(Reason.LINK, Optional.empty());

  private Worlds() {}

  static void link(Work work, Event.LinkChanged event) {
    if (event.up()) {
      Holding.clear(work, event.cell(), LINK);
    } else {
      CellTesting.stop(work, event.cell(), "the link to the cell was lost");
      Holding.set(work, event.cell(), LINK);
    }
  }

  static void everywhere(Work work, Condition condition, boolean stands) {
    for (String cell : List.copyOf(work.cells.keySet())) {
      if (stands) {
        Holding.set(work, cell, condition);
      } else {
        Holding.clear(work, cell, condition);
      }
    }
  }

  static void broker(Work work, Event.BrokerChanged event) {
    if (!event.link().equals("control")) {
      return;
    }
    for (CellState state : List.copyOf(work.cells.values())) {
      // For a cell with another output the broker is no condition.
      if (event.connected()) {
        Holding.clear(work, state.policy().cell(), BROKER);
      } else if (state.policy().brokerOnly()) {
        Holding.set(work, state.policy().cell(), BROKER);
      }
    }
  }

  static void timer(Work work, String timer) {
    if (timer.startsWith(Holding.ACK_TIMER)) {
      String cell = timer.substring(Holding.ACK_TIMER.length());
      work.cellIfKnown(cell)
          .ifPresent(
              state ->
                  Holding.apply(work, cell, new HoldInput.AckOverdue(state.policy().escalate())));
    } else if (timer.startsWith(Holding.BYPASS_TIMER)) {
      String cell = timer.substring(Holding.BYPASS_TIMER.length());
      Holding.apply(work, cell, new HoldInput.BypassEnd("agent"));
    } else if (timer.startsWith(HoldTest.TIMER)) {
      HoldTest.arm(work, timer.substring(HoldTest.TIMER.length()));
    } else if (timer.startsWith(SecondPerson.TIMER)) {
      SecondPerson.expired(work, timer.substring(SecondPerson.TIMER.length()));
    } else if (timer.startsWith(CellTesting.TIMER)) {
      CellTesting.timeOut(work, timer.substring(CellTesting.TIMER.length()));
    } else if (timer.startsWith(Alerts.SHELVE_TIMER)) {
      Alerts.unshelved(work, timer.substring(Alerts.SHELVE_TIMER.length()));
    } else if (timer.startsWith(Bores.TIMER)) {
      Bores.timeUp(work, timer.substring(Bores.TIMER.length()));
    } else if (timer.startsWith(ChallengesDue.TIMER)) {
      ChallengesDue.look(work, timer.substring(ChallengesDue.TIMER.length()));
    } else if (timer.startsWith(Shifts.TIMER)) {
      Shifts.timeUp(work, timer.substring(Shifts.TIMER.length()));
    } else if (timer.startsWith(Truths.TIMER)) {
      Truths.timeUp(work, timer.substring(Truths.TIMER.length()));
    }
  }
}

package org.borewarden.agent.proof;

import java.time.Instant;
import java.util.List;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.hold.HoldView;

/** The engine with one cell; every record is synced at once. */
final class Cell {
  static final Instant NOW = Instant.parse("2026-03-02T14:05:06.789Z");

  private State state = State.initial();
  private long seq;

  static Cell permitted() {
    Cell cell = new Cell();
    cell.take(Northworks4.started(4711, true));
    cell.take(Northworks4.rulesLoaded());
    cell.take(Northworks4.source(true));
    cell.take(Northworks4.link(true));
    return cell;
  }

  /** Takes an event; what it grants is given. */
  List<Decision> take(Event event) {
    Step step = Engine.step(state, new Stamped(seq + 1, NOW, event));
    state = step.next();
    seq += 1 + step.decisions().size();
    for (Decision decision : step.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && changed.grantPending().isPresent()) {
        take(new Event.GrantSynced(changed.hold().cell(), changed.grantPending().get()));
      }
    }
    return step.decisions();
  }

  HoldView hold() {
    return state.cellView(Northworks4.CELL, NOW).orElseThrow().hold();
  }
}

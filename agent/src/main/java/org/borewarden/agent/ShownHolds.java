package org.borewarden.agent;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.command.local.HoldsShown;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.payload.StatePayloads;

/**
 * The holds as the loop has them, in the payload of the retained topic. The seq is the last that
 * led to the state, and stands only once all up to it is synced.
 *
 * @param agent the agent's id
 * @param loop the loop
 * @param wall for what depends on the time
 * @param tests the cell tests
 */
record ShownHolds(String agent, Loop loop, WallClock wall, CellTestProtocols tests)
    implements HoldsShown {
  @Override
  public Optional<String> hold(String cell) {
    return hold(loop.shown(), cell);
  }

  @Override
  public Optional<String> cellTest(String cell) {
    return loop.shown().state().cellIds().contains(cell)
        ? Optional.of(tests.shown(cell))
        : Optional.empty();
  }

  @Override
  public List<String> holds() {
    Loop.Shown shown = loop.shown();
    return shown.state().cellIds().stream().flatMap(cell -> hold(shown, cell).stream()).toList();
  }

  private Optional<String> hold(Loop.Shown shown, String cell) {
    OptionalLong seq = loop.recorded(shown) ? OptionalLong.of(shown.seq()) : OptionalLong.empty();
    return shown
        .state()
        .cellView(cell, wall.now())
        .map(view -> StatePayloads.hold(agent, shown.state().bootId(), view.hold(), seq));
  }
}

package org.borewarden.agent.loop;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.engine.CellView;
import org.borewarden.rules.engine.State;

/**
 * Gives the hold outputs their beats. Only the loop thread calls it, after it has taken a turn, so
 * that a loop that stands still shows as no permit. Used on the loop thread only.
 */
final class Beats {
  private static final int LAST = 65_535;

  private final List<HoldOutput> outputs;
  private final Map<String, Integer> beats = new HashMap<>();

  Beats(List<HoldOutput> outputs) {
    this.outputs = List.copyOf(outputs);
  }

  /** Shows every cell as it stands. */
  void all(State state, Instant at, Trust trust) {
    for (String cell : state.cellIds()) {
      cell(cell, state, at, trust);
    }
  }

  /** Shows one cell at once, because its permit may have gone. */
  void cell(String cell, State state, Instant at, Trust trust) {
    Optional<CellView> view = state.cellView(cell, at);
    if (view.isEmpty()) {
      return;
    }
    int beat = beats.merge(cell, 1, (last, one) -> last == LAST ? 1 : last + one);
    PermitImage image = image(view.get(), state, trust);
    for (HoldOutput output : outputs) {
      if (output.cell().equals(cell)) {
        output.beat(beat, image);
      }
    }
  }

  /**
   * What the loop knows of itself that an image shows.
   *
   * @param brokerAway whether the control connection to the broker is lost
   * @param clockUnsure whether the wall clock stepped in the last ten minutes
   */
  record Trust(boolean brokerAway, boolean clockUnsure) {}

  private static PermitImage image(CellView view, State state, Trust trust) {
    return new PermitImage(
        view.hold(),
        state.bootId(),
        view.reason(),
        view.featureNumber(),
        view.boresUntilLimit(),
        view.bypassMinutesLeft(),
        view.partsSinceJudged(),
        lowWord(state.rulesRevision()),
        view.alertStanding(),
        view.wantsToBeHeard(),
        trust.clockUnsure(),
        trust.brokerAway(),
        view.testRun(),
        view.hold().permitted() ? 0 : LAST,
        0,
        0,
        0);
  }

  private static int lowWord(String revision) {
    return revision.length() < 4
        ? 0
        : Integer.parseInt(revision.substring(revision.length() - 4), 16);
  }
}

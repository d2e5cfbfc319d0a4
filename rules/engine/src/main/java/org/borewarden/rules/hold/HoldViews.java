package org.borewarden.rules.hold;

import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/** Shows a cell's hold to people and outputs. */
public final class HoldViews {
  private HoldViews() {}

  /**
   * The view of a state.
   *
   * @param cell the cell's id
   * @param state its hold
   * @param challenge what a command about this hold must quote; new at each revision and boot
   * @return what people and the cell may know
   */
  public static HoldView view(String cell, HoldState state, String challenge) {
    boolean permitted = state.permitted();
    return new HoldView(
        cell,
        state.phase(),
        permitted,
        permitted ? Optional.empty() : Optional.of(shownKind(state)),
        state.number(),
        state.revision(),
        state.causes(),
        state.conditions(),
        state.heard(),
        state.stopped(),
        state.trial().map(Trial::partsLeft).orElse(0),
        state.bypass().map(Bypass::until),
        state.contain(),
        state.since(),
        state.by(),
        state.watchOnly(),
        challenge);
  }

  /** Loss of the permit always means at least end of part, whatever withholds it. */
  private static StopKind shownKind(HoldState state) {
    return state.kind().orElse(StopKind.END_OF_PART);
  }
}

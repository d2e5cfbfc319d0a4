package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.Optional;

/**
 * The hold of one cell: the table of docs/hold.md, state by event. Pure and total: every input is
 * answered in every state, a raise takes effect in its own step, and a permit rises only on {@link
 * HoldInput.GrantSynced} at an unchanged revision.
 */
public final class HoldMachine {
  private HoldMachine() {}

  /**
   * Takes one input.
   *
   * @param state the hold before it
   * @param input what happened
   * @param seq the seq of the event that brought it
   * @param at the wall time of that event; a bypass whose time is up ends before the input is taken
   * @return the hold after it, the answer if there is one, and the grant that waits for the record
   */
  public static HoldStep step(HoldState state, HoldInput input, long seq, Instant at) {
    HoldDraft draft = new HoldDraft(state, seq, at);
    if (draft.bypass.isPresent() && !at.isBefore(draft.bypass.get().until())) {
      Raises.endBypass(draft, HoldState.AGENT);
    }
    if (input instanceof HoldInput.Raise raise) {
      Raises.take(draft, raise);
    } else if (input instanceof HoldInput.Give give) {
      Gives.take(draft, give);
    } else if (input instanceof HoldInput.CellWord word) {
      CellWords.take(draft, word);
    } else if (input instanceof HoldInput.ContainAdded added) {
      if (draft.number != 0) {
        draft.addContain(added.parts());
      }
    } else if (input instanceof HoldInput.WatchOnlySet set) {
      draft.watchOnly = set.on();
    }
    return draft.done();
  }

  /**
   * When a bypass ends by the wall clock.
   *
   * @param state the hold
   * @return the time, outside a bypass empty
   */
  public static Optional<Instant> bypassEnds(HoldState state) {
    return state.bypass().map(Bypass::until);
  }
}

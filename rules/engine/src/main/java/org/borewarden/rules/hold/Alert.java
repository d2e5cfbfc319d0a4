package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.Optional;

/**
 * One alert as it is kept: what people see of it, and what its state alone does not tell.
 *
 * @param view what people see
 * @param standing whether its cause stands
 * @param seen whether a person has seen it since it last became active
 */
public record Alert(AlertView view, boolean standing, boolean seen) {

  /** The alert in a state, moved there by someone. */
  Alert move(AlertState state, String by, Optional<String> why, Optional<Instant> until) {
    return with(state, view.count(), view.since(), by, why, until, view.holds());
  }

  /** The alert with its cause standing or gone. */
  Alert withStanding(boolean stands) {
    return new Alert(view, stands, seen);
  }

  /** The alert, seen by a person or not. */
  Alert withSeen(boolean isSeen) {
    return new Alert(view, standing, isSeen);
  }

  /** The alert, no longer of a latched hold. */
  Alert unheld() {
    return with(
        view.state(), view.count(), view.since(), view.by(), view.why(), view.until(), false);
  }

  private Alert with(
      AlertState state,
      int count,
      Instant since,
      String by,
      Optional<String> why,
      Optional<Instant> until,
      boolean holds) {
    AlertView next =
        new AlertView(
            view.key(),
            state,
            view.reason(),
            view.feature(),
            view.cell(),
            count,
            since,
            by,
            why,
            until,
            view.partsLeft(),
            holds,
            view.wouldHaveHeld(),
            view.words());
    return new Alert(next, standing, seen);
  }
}

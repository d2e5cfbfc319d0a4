package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;

/**
 * What follows for a watch from a bore or from a new segment.
 *
 * @param next what it remembers now
 * @param findings what it saw with this bore, none or one
 * @param cleared the keys of findings that stood before and stand no longer
 * @param counted whether the bore entered the stream; a bore that is withheld, measured again or
 *     out of its order does not
 * @param forecast where the bores go, for a forecast watch
 */
public record WatchStep(
    WatchState next,
    List<Finding> findings,
    List<String> cleared,
    boolean counted,
    Optional<ForecastView> forecast) {
  /** Copies the lists. */
  public WatchStep {
    findings = List.copyOf(findings);
    cleared = List.copyOf(cleared);
  }
}

package org.borewarden.rules.hold;

import java.util.Optional;

/**
 * A permit that waits until its record is synced. Any new cause or condition voids it, and its
 * revision is never used for another grant.
 *
 * @param kind what is granted
 * @param revision the revision at which it was asked for
 * @param trial the trial that begins, for {@link Kind#TRIAL}
 * @param bypass the bypass that begins, for {@link Kind#BYPASS}
 * @param by who asked for it; {@code agent} where nobody had to
 */
public record Grant(
    Kind kind, int revision, Optional<Trial> trial, Optional<Bypass> bypass, String by) {

  /** What a grant gives. */
  public enum Kind {
    /** The evidence after a start is fresh and nothing stands. */
    START,
    /** The last condition is gone and nothing is latched. */
    READY,
    /** The last condition is gone during a trial or a bypass. */
    RESUME,
    /** A hold is released. */
    RELEASE,
    /** A trial permit. */
    TRIAL,
    /** A bypass. */
    BYPASS
  }
}

package org.borewarden.rules.hold;

import java.time.Duration;
import java.time.Instant;
import java.util.List;

/**
 * A timed, named exception: the permit in spite of the named causes and of no others.
 *
 * @param causes the keys of the causes that it covers
 * @param until when it ends by the wall clock; whoever sets the timer ends it by the monotonic
 *     clock too, whichever is first
 * @param by who started it
 */
public record Bypass(List<String> causes, Instant until, String by) {
  /** Minutes where none are named. */
  public static final int DEFAULT_MINUTES = 15;

  /** The most minutes of one bypass. More is refused as over the limit. */
  public static final int MAX_MINUTES = 60;

  /** Minutes before the end at which a warning is due. */
  public static final int WARN_MINUTES = 2;

  /** The most bypasses in a shift. More are refused as over the limit. */
  public static final int MAX_PER_SHIFT = 3;

  /** A shift, for the limit: any eight hours, so that no shift calendar is needed. */
  public static final Duration SHIFT = Duration.ofHours(8);

  /** Copies the list. */
  public Bypass {
    causes = List.copyOf(causes);
  }
}

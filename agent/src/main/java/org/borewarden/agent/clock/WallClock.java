package org.borewarden.agent.clock;

import java.time.Instant;

/** Wall time, for stamps that people read. It may jump; never measure a duration with it. */
public interface WallClock {
  /**
   * The wall time.
   *
   * @return now, UTC
   */
  Instant now();
}

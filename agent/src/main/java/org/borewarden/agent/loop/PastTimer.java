package org.borewarden.agent.loop;

import java.time.Instant;
import org.borewarden.rules.engine.Effect;

/**
 * A timer that stands, as the next run must know it.
 *
 * @param at the wall time at which it was set
 * @param timer what was asked for
 */
public record PastTimer(Instant at, Effect.TimerSet timer) {}

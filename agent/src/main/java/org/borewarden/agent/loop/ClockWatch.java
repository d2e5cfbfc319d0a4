package org.borewarden.agent.loop;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.rules.engine.Event;

/** Holds the wall clock against the monotonic one: a jump of it is an event. Loop thread only. */
final class ClockWatch {
  private static final Duration STEP = Duration.ofSeconds(1);

  /** So long after a step the cells are told that the clock is unsure. */
  private static final Duration UNSURE = Duration.ofMinutes(10);

  private final WallClock wall;
  private final MonotonicClock monotonic;
  private long offset;
  private OptionalLong steppedAt = OptionalLong.empty();

  ClockWatch(WallClock wall, MonotonicClock monotonic) {
    this.wall = wall;
    this.monotonic = monotonic;
    this.offset = offset();
  }

  /** The step since the last one that was given, where it is one. */
  Optional<Event> step() {
    long now = offset();
    long step = now - offset;
    if (Math.abs(step) < STEP.toMillis()) {
      return Optional.empty();
    }
    offset = now;
    steppedAt = OptionalLong.of(monotonic.nanos());
    return Optional.of(new Event.ClockStepped(step));
  }

  boolean unsure() {
    return steppedAt.isPresent() && monotonic.nanos() - steppedAt.getAsLong() < UNSURE.toNanos();
  }

  private long offset() {
    return wall.now().toEpochMilli() - TimeUnit.NANOSECONDS.toMillis(monotonic.nanos());
  }
}

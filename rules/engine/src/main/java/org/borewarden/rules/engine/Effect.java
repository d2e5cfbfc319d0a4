package org.borewarden.rules.engine;

import java.time.Duration;

/** What follows from an event and is not recorded, because the same events give it again. */
public sealed interface Effect {

  /**
   * The chart of a feature moved on.
   *
   * @param trend its state
   */
  record TrendMoved(TrendView trend) implements Effect {}

  /**
   * What is known of a gauge changed.
   *
   * @param gauge its state
   */
  record GaugeMoved(GaugeView gauge) implements Effect {}

  /**
   * Wake the engine with a {@link Event.TimerFired} after a time; replaces a timer of that name.
   *
   * @param timer its name
   * @param after the time, by the monotonic clock
   */
  record TimerSet(String timer, Duration after) implements Effect {}

  /**
   * A fault of our own kept a feature from being judged.
   *
   * @param feature the feature
   * @param fault what went wrong, for the log and the maker
   */
  record Faulted(String feature, RuntimeException fault) implements Effect {}

  /**
   * Forget a timer.
   *
   * @param timer its name
   */
  record TimerCleared(String timer) implements Effect {}
}

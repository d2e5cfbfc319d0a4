package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

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
   * Send a port's request: a command asked for a reading. Once its record is synced.
   *
   * @param port the port
   */
  record PortAsked(String port) implements Effect {}

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
   * A hold was released and is gone: what was said of it, for whoever counts whether holds were
   * needed and what became of the parts. The release itself stands in the journal.
   *
   * @param cell the cell
   * @param hold the number that it had
   * @param causes the keys of its causes
   * @param needed whether it was needed: yes, no or unknown
   * @param contain what became of the parts to hold back, where it was said
   * @param parts the parts that were to be held back
   * @param reason the release's reason
   * @param by who released it
   */
  record HoldReleased(
      String cell,
      int hold,
      List<String> causes,
      String needed,
      Optional<String> contain,
      List<String> parts,
      String reason,
      String by)
      implements Effect {
    /** Copies the lists. */
    public HoldReleased {
      causes = List.copyOf(causes);
      parts = List.copyOf(parts);
    }
  }

  /**
   * Forget a timer.
   *
   * @param timer its name
   */
  record TimerCleared(String timer) implements Effect {}
}

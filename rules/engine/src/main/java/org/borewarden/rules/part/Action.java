package org.borewarden.rules.part;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.Optional;

/**
 * What a finding does. Ordered by weight.
 *
 * @param level note, alert or hold
 * @param kind where the cell is asked to stop, for a hold
 * @param watchOnlyUntil while watch-only, the permit stays and the finding is logged as "would have
 *     held"; the date (ISO 8601, UTC, inclusive) on which that ends
 */
public record Action(Level level, StopKind kind, Optional<String> watchOnlyUntil) {

  /**
   * Checks the date.
   *
   * @throws IllegalArgumentException when it is no date as ISO 8601 writes it
   */
  public Action {
    watchOnlyUntil.ifPresent(Action::checkDate);
  }

  private static void checkDate(String date) {
    try {
      LocalDate.parse(date);
    } catch (DateTimeParseException e) {
      throw new IllegalArgumentException("expected a date such as 2027-01-31, found " + date, e);
    }
  }

  /** The weight of a finding. */
  public enum Level {
    /** Written down and published. */
    NOTE,
    /** Asks for a person. */
    ALERT,
    /** Asks for a person and withdraws the cell's permit. */
    HOLD
  }
}

package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;

/** What may change an alert. */
public sealed interface AlertInput {

  /** An input about one alert. */
  sealed interface OfKey extends AlertInput {
    /**
     * The alert that is meant.
     *
     * @return its key
     */
    String key();
  }

  /**
   * A cause was seen, once more or for the first time.
   *
   * @param key the alert's key, equal to its cause's
   * @param reason why
   * @param feature the feature, if one
   * @param cell the cell, if one
   * @param holds whether it holds the cell
   * @param wouldHaveHeld whether it would have held, were it not watch-only
   * @param partsLeft parts until the limit, where a forecast says so
   * @param words in English
   */
  record Raised(
      String key,
      Reason reason,
      Optional<String> feature,
      Optional<String> cell,
      boolean holds,
      boolean wouldHaveHeld,
      OptionalInt partsLeft,
      String words)
      implements OfKey {}

  /**
   * Its cause is gone.
   *
   * @param key the alert's key
   */
  record Returned(String key) implements OfKey {}

  /**
   * A person has seen it.
   *
   * @param key the alert's key
   * @param by who
   */
  record Acknowledged(String key, String by) implements OfKey {}

  /**
   * A person sets it aside.
   *
   * @param key the alert's key
   * @param until when that ends
   * @param by who
   * @param why the reason
   */
  record Shelved(String key, Instant until, String by, String why) implements OfKey {}

  /**
   * A shelving ends.
   *
   * @param key the alert's key
   * @param by who; {@code agent} for its time
   */
  record Unshelved(String key, String by) implements OfKey {}

  /**
   * Its gauge or feature goes out of service.
   *
   * @param key the alert's key
   * @param by who
   * @param why the reason
   */
  record OutOfService(String key, String by, String why) implements OfKey {}

  /**
   * Its gauge or feature is back in service.
   *
   * @param key the alert's key
   * @param by who
   */
  record BackInService(String key, String by) implements OfKey {}

  /**
   * The hold of a cell was released, which ends its causes.
   *
   * @param cell the cell
   * @param by who
   */
  record HoldReleased(String cell, String by) implements AlertInput {}
}

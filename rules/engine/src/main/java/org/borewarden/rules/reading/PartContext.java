package org.borewarden.rules.reading;

import java.util.Optional;
import java.util.OptionalLong;

/**
 * What the cell, or a person, said of the part in front of the gauge.
 *
 * @param part the part's number in cutting order, by the cell's counter
 * @param serial the part's serial
 * @param tool the tool that cut it
 * @param spindle the machine or spindle that cut it
 * @param fixture the fixture or pallet that held it
 * @param operator the person at the gauge, pseudonymous on topics
 * @param batch the batch or casting lot
 */
public record PartContext(
    OptionalLong part,
    Optional<String> serial,
    Optional<String> tool,
    Optional<String> spindle,
    Optional<String> fixture,
    Optional<String> operator,
    Optional<String> batch) {
  /** Nothing was said. */
  public static final PartContext NONE =
      new PartContext(
          OptionalLong.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty());
}

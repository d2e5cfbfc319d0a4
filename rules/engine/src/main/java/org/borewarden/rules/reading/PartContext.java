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
 * @param feature the feature whose bore the gauge is at, where the cell knows; never in a bore's
 *     own context
 */
public record PartContext(
    OptionalLong part,
    Optional<String> serial,
    Optional<String> tool,
    Optional<String> spindle,
    Optional<String> fixture,
    Optional<String> operator,
    Optional<String> batch,
    Optional<String> feature) {
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

  /**
   * A part without a word on which of its bores is measured.
   *
   * @param part the part's number in cutting order
   * @param serial the part's serial
   * @param tool the tool that cut it
   * @param spindle the machine or spindle that cut it
   * @param fixture the fixture or pallet that held it
   * @param operator the person at the gauge
   * @param batch the batch or casting lot
   */
  public PartContext(
      OptionalLong part,
      Optional<String> serial,
      Optional<String> tool,
      Optional<String> spindle,
      Optional<String> fixture,
      Optional<String> operator,
      Optional<String> batch) {
    this(part, serial, tool, spindle, fixture, operator, batch, Optional.empty());
  }

  /**
   * The same part with another word on its bore.
   *
   * @param other the feature at the gauge; empty where none is named
   * @return this part
   */
  public PartContext atFeature(Optional<String> other) {
    return new PartContext(part, serial, tool, spindle, fixture, operator, batch, other);
  }
}

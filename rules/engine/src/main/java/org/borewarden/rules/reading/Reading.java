package org.borewarden.rules.reading;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * One accepted value from a gauge.
 *
 * @param gauge the gauge's id from agent.yaml
 * @param value the value, exact
 * @param unit the unit the gauge showed
 * @param decimals the decimals the gauge showed in that unit, 0 to 9; every output prints these
 *     digits and no more
 * @param input the input of a gauge with several (a multiplexer's channel key), where the frame
 *     names one
 * @param status what the gauge said of itself in the frame, where the pattern names a status group
 */
public record Reading(
    String gauge,
    Length value,
    Unit unit,
    int decimals,
    Optional<String> input,
    Optional<String> status) {
  /**
   * The same reading with another value, as a correction makes it.
   *
   * @param other the value
   * @return a reading that differs in its value only
   */
  public Reading withValue(Length other) {
    return new Reading(gauge, other, unit, decimals, input, status);
  }
}

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
 * @param bookmark where in its source it ended, for a source that goes on there after a restart
 * @param batteryLow whether the gauge says that its battery is low; absent where it says nothing of
 *     it
 * @param captured on what samples it rests, where it was captured from a stream of them
 */
public record Reading(
    String gauge,
    Length value,
    Unit unit,
    int decimals,
    Optional<String> input,
    Optional<String> status,
    Optional<String> bookmark,
    Optional<Boolean> batteryLow,
    Optional<Captured> captured) {
  /**
   * A reading of a source that cannot be wound back.
   *
   * @param gauge the gauge's id
   * @param value the value
   * @param unit the unit the gauge showed
   * @param decimals the decimals the gauge showed
   * @param input the input
   * @param status what the gauge said of itself
   */
  public Reading(
      String gauge,
      Length value,
      Unit unit,
      int decimals,
      Optional<String> input,
      Optional<String> status) {
    this(
        gauge,
        value,
        unit,
        decimals,
        input,
        status,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  /**
   * The same reading with where it ended in its source.
   *
   * @param end the bookmark
   * @return a reading that differs in its bookmark only
   */
  public Reading at(Optional<String> end) {
    return new Reading(gauge, value, unit, decimals, input, status, end, batteryLow, captured);
  }

  /**
   * The same reading with what the gauge says of its battery.
   *
   * @param low whether it is low
   * @return a reading that differs in that only
   */
  public Reading withBattery(boolean low) {
    return new Reading(
        gauge, value, unit, decimals, input, status, bookmark, Optional.of(low), captured);
  }

  /**
   * The same reading with another value, as a correction makes it.
   *
   * @param other the value
   * @return a reading that differs in its value only
   */
  public Reading withValue(Length other) {
    return new Reading(gauge, other, unit, decimals, input, status, bookmark, batteryLow, captured);
  }

  /**
   * The reading that was captured where this one is the last of its samples.
   *
   * @param found the value that they gave
   * @param samples what they were
   * @return a reading of the same gauge, with its unit and digits
   */
  public Reading captured(Length found, Captured samples) {
    return new Reading(
        gauge, found, unit, decimals, input, status, bookmark, batteryLow, Optional.of(samples));
  }
}

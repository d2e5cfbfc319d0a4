package org.borewarden.agent.payload;

import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.rules.reading.PartContext;

/**
 * What was said of the part of a bore. Its feature stands beside it, as that of the verdict.
 *
 * @param part the part's number in cutting order, by the cell's counter
 * @param serial the part's serial
 * @param tool the tool that cut it
 * @param spindle the machine or spindle that cut it
 * @param fixture the fixture or pallet that held it
 * @param operator the person at the gauge
 * @param batch the batch or casting lot
 */
record ContextPayload(
    OptionalLong part,
    Optional<String> serial,
    Optional<String> tool,
    Optional<String> spindle,
    Optional<String> fixture,
    Optional<String> operator,
    Optional<String> batch) {
  /** Empty where nothing was said. */
  static Optional<ContextPayload> of(PartContext said) {
    return said.equals(PartContext.NONE)
        ? Optional.empty()
        : Optional.of(
            new ContextPayload(
                said.part(),
                said.serial(),
                said.tool(),
                said.spindle(),
                said.fixture(),
                said.operator(),
                said.batch()));
  }
}

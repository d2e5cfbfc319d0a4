package org.borewarden.agent.payload;

import java.util.Optional;
import org.borewarden.rules.engine.Decision;

/**
 * A verdict that counts no more, or whose part has another serial; topic {@code verdict/<feature>}.
 * The verdict itself is never rewritten.
 *
 * @param feature the feature
 * @param revised the seq of the verdict
 * @param verdict {@code discarded} or {@code serial-corrected}
 * @param was the serial that it had
 * @param serial the serial of its part
 * @param why what was said
 * @param by who
 */
record RevisedPayload(
    String feature,
    long revised,
    String verdict,
    Optional<String> was,
    Optional<String> serial,
    String why,
    String by) {

  static RevisedPayload of(Decision.BoreDiscarded discarded) {
    return new RevisedPayload(
        discarded.feature(),
        discarded.seq(),
        "discarded",
        Optional.empty(),
        Optional.empty(),
        discarded.reason(),
        discarded.by());
  }

  static RevisedPayload of(Decision.SerialCorrected corrected) {
    return new RevisedPayload(
        corrected.feature(),
        corrected.seq(),
        "serial-corrected",
        corrected.was(),
        Optional.of(corrected.serial()),
        corrected.reason(),
        corrected.by());
  }
}

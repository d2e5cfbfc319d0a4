package org.borewarden.agent.payload;

import java.util.Locale;
import java.util.OptionalInt;
import org.borewarden.rules.engine.Decision;

/**
 * What a watch or a verdict found, in the journal.
 *
 * @param key names the cause in its cell
 * @param feature the feature
 * @param reason why, as a key
 * @param level note, alert or hold
 * @param partsLeft parts until the limit
 * @param wouldHaveHeld true where it asks for a hold and is watch-only
 * @param words in English
 */
record FindingPayload(
    String key,
    String feature,
    String reason,
    String level,
    OptionalInt partsLeft,
    boolean wouldHaveHeld,
    String words) {

  static FindingPayload of(Decision.Found found) {
    return new FindingPayload(
        found.finding().key(),
        found.finding().feature(),
        found.finding().reason().key(),
        found.finding().action().level().name().toLowerCase(Locale.ROOT),
        found.finding().partsLeft(),
        found.wouldHaveHeld(),
        found.finding().words());
  }
}

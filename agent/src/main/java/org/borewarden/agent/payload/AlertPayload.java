package org.borewarden.agent.payload;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.hold.AlertView;

/**
 * One alert and its state; topic {@code alert/<alert>}, retained.
 *
 * @param alert its id
 * @param state the state, in words
 * @param reason why, as a key
 * @param reasonNumber why, as the number that the cell sees
 * @param feature the feature, if one
 * @param cell the cell, if one
 * @param count how often its cause was seen while it stands
 * @param since when it last became active
 * @param by who last changed it
 * @param why what was said with the last change
 * @param until when a shelving ends
 * @param partsLeft parts until the limit, where a forecast says so
 * @param holds whether it holds the cell
 * @param wouldHaveHeld whether it would have held, were its watch not watch-only
 * @param words in English
 */
record AlertPayload(
    String alert,
    String state,
    String reason,
    int reasonNumber,
    Optional<String> feature,
    Optional<String> cell,
    int count,
    Instant since,
    String by,
    Optional<String> why,
    Optional<Instant> until,
    OptionalInt partsLeft,
    boolean holds,
    boolean wouldHaveHeld,
    String words) {

  static AlertPayload of(AlertView alert) {
    return new AlertPayload(
        idOf(alert.key()),
        alert.state().key(),
        alert.reason().key(),
        alert.reason().number(),
        alert.feature(),
        alert.cell(),
        alert.count(),
        alert.since(),
        alert.by(),
        alert.why(),
        alert.until(),
        alert.partsLeft(),
        alert.holds(),
        alert.wouldHaveHeld(),
        alert.words());
  }

  /** A key's slashes would be levels of the topic. */
  static String idOf(String key) {
    return key.replace('/', '.');
  }
}

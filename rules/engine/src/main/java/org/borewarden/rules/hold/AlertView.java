package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * One alert, one per cause: what people see of it.
 *
 * @param key the alert's key, equal to its cause's key
 * @param state the state of IEC 62682, in words
 * @param reason why
 * @param feature the feature, if one
 * @param cell the cell, if one
 * @param count how often its cause was seen while it stands
 * @param since when it last became active
 * @param by who last changed it
 * @param why what was said with the last change, such as a shelving's reason
 * @param until when a shelving ends
 * @param partsLeft parts until the limit, where a forecast says so
 * @param holds whether it holds the cell
 * @param wouldHaveHeld whether it would have held, were its watch not watch-only
 * @param words in English
 */
public record AlertView(
    String key,
    AlertState state,
    Reason reason,
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
    String words) {}

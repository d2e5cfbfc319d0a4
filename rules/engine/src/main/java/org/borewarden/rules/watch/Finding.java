package org.borewarden.rules.watch;

import java.util.OptionalInt;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Action;

/**
 * What a watch, or the verdict itself, saw.
 *
 * @param key names the cause in its cell: the reason's key, the feature and the watch, joined by
 *     slashes
 * @param feature the feature
 * @param reason why
 * @param action what it does
 * @param partsLeft parts until the limit, where a forecast says so
 * @param words in English, for logs and for a person who has no texts at hand
 */
public record Finding(
    String key,
    String feature,
    Reason reason,
    Action action,
    OptionalInt partsLeft,
    String words) {}

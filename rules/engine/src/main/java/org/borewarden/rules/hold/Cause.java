package org.borewarden.rules.hold;

import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * Why a hold was raised; ends only by a release.
 *
 * @param key names the cause in its cell, such as {@code forecast/bearing-seat} or {@code
 *     unclean-stop}
 * @param reason the reason number of docs/hold.md, never re-used
 * @param feature the feature whose bore raised it, if one did
 * @param kind where it asks the cell to stop
 * @param seq the seq of the event that first raised it
 * @param count how often it was raised since the last release, at least 1
 */
public record Cause(
    String key, Reason reason, Optional<String> feature, StopKind kind, long seq, int count) {}

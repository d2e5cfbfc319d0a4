package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * Other limits for one named part.
 *
 * @param serial the part
 * @param lower the lower limit; absent where the one of the rules stays
 * @param upper the upper limit
 * @param until its last day, ISO 8601
 * @param authority who granted it
 */
record Concession(
    String serial,
    Optional<Length> lower,
    Optional<Length> upper,
    String until,
    String authority) {}

package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;

/**
 * What a concession says of a bore that is out of its limits. The verdict by the rules stands
 * beside it and is not changed.
 *
 * @param authority who granted it, such as the number of a letter
 * @param until its last day, ISO 8601
 * @param lower the lower limit that it grants; absent where the one of the rules stays
 * @param upper the upper limit that it grants
 * @param verdict the verdict by the limits that it grants
 */
public record Conceded(
    String authority,
    String until,
    Optional<Length> lower,
    Optional<Length> upper,
    Verdict verdict) {}

package org.borewarden.rules.judge;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * What is stated of the gauge of a feature and of its ring, as far as it is.
 *
 * @param gauge the gauge's id
 * @param resolution r
 * @param from the smallest size that it reads
 * @param to the largest
 * @param gaugeDue the last day (ISO 8601) on which its calibration counts
 * @param ring the ring's id
 * @param ringSize its certified size
 * @param ringDue the last day on which its certificate counts
 * @param errorLimit E, within which a ring check passes
 */
public record GaugeFacts(
    String gauge,
    Optional<Length> resolution,
    Optional<Length> from,
    Optional<Length> to,
    Optional<String> gaugeDue,
    Optional<String> ring,
    Optional<Length> ringSize,
    Optional<String> ringDue,
    Optional<Length> errorLimit) {}

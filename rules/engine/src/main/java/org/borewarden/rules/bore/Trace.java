package org.borewarden.rules.bore;

import java.util.Optional;
import java.util.OptionalLong;

/**
 * On what a gauge's word rests, so that a ring's certificate that turns out wrong can be followed
 * to the bores.
 *
 * @param ring the ring of its last good check
 * @param certificate that ring's certificate
 * @param checked the seq of that check
 * @param mastered the seq of the mastering, where one was told
 */
public record Trace(
    String ring, Optional<String> certificate, long checked, OptionalLong mastered) {}

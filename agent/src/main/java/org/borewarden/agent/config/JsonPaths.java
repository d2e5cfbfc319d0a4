package org.borewarden.agent.config;

import java.util.Optional;

/**
 * Where in a JSON frame things stand, as JSON Pointers (RFC 6901).
 *
 * @param value the value, a number or a text
 * @param unit the unit
 * @param input the input
 * @param status what the gauge says of itself
 */
public record JsonPaths(
    String value, Optional<String> unit, Optional<String> input, Optional<String> status) {}

package org.borewarden.rules.measure;

/**
 * A value and a limit, printed so that a reader sees which is larger.
 *
 * @param value the value's digits
 * @param limit the limit's digits
 * @param decimals the decimals that both have
 */
public record PrintedPair(String value, String limit, int decimals) {}

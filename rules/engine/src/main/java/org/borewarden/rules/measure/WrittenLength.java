package org.borewarden.rules.measure;

/**
 * A length and how it was written, so that it can be shown with the same digits.
 *
 * @param length the exact length
 * @param unit the unit it was written in
 * @param decimals the decimals it was written with
 */
public record WrittenLength(Length length, Unit unit, int decimals) {}

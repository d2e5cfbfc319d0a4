package org.borewarden.rules.engine;

/**
 * One step of a cell test.
 *
 * @param step what was walked, such as {@code A5 bit 3}
 * @param sent what the registers showed, in words
 * @param seen what the cell said that it has, in words
 * @param passed whether that is the same
 * @param atMillis milliseconds since the walk began
 */
public record CellTestLine(String step, String sent, String seen, boolean passed, long atMillis) {}

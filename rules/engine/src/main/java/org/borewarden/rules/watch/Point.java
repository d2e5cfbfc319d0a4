package org.borewarden.rules.watch;

/**
 * A bore as a chart's test sees it.
 *
 * @param w in sigmas from the centre; in picometres for tests that need no sigma
 * @param part its place in cutting order
 * @param follows whether it is of the next measured part after the one before
 */
record Point(double w, long part, boolean follows) {}

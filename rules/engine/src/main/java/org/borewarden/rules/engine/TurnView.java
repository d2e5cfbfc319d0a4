package org.borewarden.rules.engine;

/**
 * Whose turn it is at a gauge that measures its features in sequence.
 *
 * @param feature the feature that the next reading is of
 * @param place its place in the sequence, from 1
 * @param of how many the sequence has
 */
public record TurnView(String feature, int place, int of) {}

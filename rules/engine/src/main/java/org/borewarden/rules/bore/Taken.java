package org.borewarden.rules.bore;

import org.borewarden.rules.measure.Length;

/**
 * A reading of a bore and what became of it. Nothing that was read is thrown away.
 *
 * @param place where it was taken, as the plan names it; empty without a plan
 * @param seq the seq of its event
 * @param value the value
 * @param counts false where another reading at that place stands in its stead
 */
public record Taken(String place, long seq, Length value, boolean counts) {}

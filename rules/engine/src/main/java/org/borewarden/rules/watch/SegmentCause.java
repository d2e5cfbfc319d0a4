package org.borewarden.rules.watch;

/** Why a new segment of a stream begins. */
public enum SegmentCause {
  /** Another tool or edge cuts: nothing of the old one counts. */
  TOOL_CHANGED,
  /** An offset was entered, or the gauge mastered anew: a new level, the same slope and sigma. */
  OFFSET_ENTERED,
  /** The rules were loaded anew. */
  RULES_CHANGED,
  /** Bores are missing, or the part counter began anew: a trend over a gap is no trend. */
  GAP
}

package org.borewarden.rules.part;

/** Where the cell is asked to stop. Ordered: a hold's kind only rises until its release. */
public enum StopKind {
  /** After the part in the cut. Loss of the permit always means at least this. */
  END_OF_PART,
  /** At the next safe point that the machine's program names; never mid-cut by our doing. */
  NEXT_SAFE_POINT
}

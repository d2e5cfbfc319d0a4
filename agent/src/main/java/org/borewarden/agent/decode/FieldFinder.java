package org.borewarden.agent.decode;

import java.util.List;

/** Finds in a frame what a reading is made of. Immutable. */
interface FieldFinder {
  /** The values, or why there are none. */
  Fields find(String frame);

  /** What came of it. */
  sealed interface Fields {
    /**
     * At least one value.
     *
     * @param all in the order of the frame's pattern
     */
    record Values(List<Found> all) implements Fields {}

    /**
     * None.
     *
     * @param why the reason
     * @param detail what was expected and found
     * @param offset the byte of the frame at which it went wrong
     */
    record None(Refusal why, String detail, int offset) implements Fields {}
  }
}

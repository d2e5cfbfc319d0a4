package org.borewarden.agent.decode;

import java.util.Optional;

/**
 * One value that stands in a frame, and what stands beside it; not yet read.
 *
 * @param value the value's text
 * @param at the frame's byte at which it stands
 * @param plain whether it is a number of a language that has points and no implied decimals
 * @param sign a sign that stands apart from it
 * @param unit the unit's word
 * @param input the input
 * @param status what the gauge says of itself
 */
record Found(
    String value,
    int at,
    boolean plain,
    Optional<Part> sign,
    Optional<Part> unit,
    Optional<Part> input,
    Optional<Part> status) {

  /**
   * A part of a frame.
   *
   * @param text what it says, without the blanks around it
   * @param at the frame's byte at which it stands
   */
  record Part(String text, int at) {}
}

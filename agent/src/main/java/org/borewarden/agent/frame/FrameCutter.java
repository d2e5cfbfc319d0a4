package org.borewarden.agent.frame;

import java.util.List;
import java.util.Optional;

/**
 * Cuts bytes into frames; the same bytes give the same frames however they are chunked, except
 * where the silence between them is what parts them. Bounded memory; never blocks; one thread only.
 */
public interface FrameCutter {
  /** Begins anew on a link that was just opened: its gauge may be in the middle of a frame. */
  void opened();

  /** Says that the line was seen quiet: if nothing came since opening, the next byte is a first. */
  void quiet();

  /**
   * Says that the line was silent for longer than a gauge pauses within a frame. What is held may
   * be the first half of one frame, and what follows the whole of another or the rest of this one.
   */
  void gap();

  /**
   * Says that the link was lost.
   *
   * @return the half frame that was in hand, if any and if it was not rejected before
   */
  Optional<Cut> lost();

  /**
   * Takes bytes.
   *
   * @param bytes holds them
   * @param length how many of them, from the first
   * @return what they completed, in order; at most one a byte
   */
  List<Cut> take(byte[] bytes, int length);

  /**
   * The bytes that belonged to no whole frame, terminators of whole frames not counted.
   *
   * @return their number since the cutter was made
   */
  long junkBytes();
}

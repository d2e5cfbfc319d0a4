package org.borewarden.agent.frame;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Optional;

/** The bytes that end a frame. Immutable. */
final class Terminator {
  private static final byte[] CR_OR_LF = {};

  private final byte[] bytes;

  private Terminator(byte[] bytes) {
    this.bytes = bytes;
  }

  /**
   * The terminator of a config.
   *
   * @param ends the bytes, one a character; empty for any of CR, LF and CR LF
   */
  static Terminator of(Optional<String> ends) {
    return new Terminator(
        ends.map(text -> text.getBytes(StandardCharsets.ISO_8859_1)).orElse(CR_OR_LF));
  }

  /** How many bytes it has. CR LF counts as two terminators with an empty frame between. */
  int length() {
    return Math.max(1, bytes.length);
  }

  /** Whether the first {@code count} bytes of {@code held} end with it. */
  boolean ends(byte[] held, int count) {
    if (bytes.length == 0) {
      byte last = held[count - 1];
      return last == '\r' || last == '\n';
    }
    return count >= bytes.length
        && Arrays.equals(held, count - bytes.length, count, bytes, 0, bytes.length);
  }
}

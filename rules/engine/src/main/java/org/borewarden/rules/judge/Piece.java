package org.borewarden.rules.judge;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;

/**
 * What a measured part is, where it is not simply the next one of the run. Its bore is judged and
 * kept; it stays out of streams, pools and capability (metrology.md 4.10), because it says nothing
 * of how the process goes on.
 *
 * @param kind what it is
 * @param of the seq of the verdict that it follows: of the bore that was reworked or is measured
 *     again
 * @param expected the verdict that a challenge piece must get
 */
public record Piece(Kind kind, OptionalLong of, Optional<Verdict> expected) {

  /** What a part can be beside the next one of the run. */
  public enum Kind {
    /** A part that was cut again: a new bore of an old part. */
    REWORK,
    /** A piece of known size, put on the gauge to prove that a bad bore stops the cell. */
    CHALLENGE,
    /** One of the first after a tool change, an offset, a program, a changeover or a new batch. */
    FIRST_OFF,
    /** The last part once more. */
    MEASURED_AGAIN;

    /**
     * The word in payloads.
     *
     * @return lower case, with hyphens
     */
    public String key() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /**
   * A piece of which no verdict is expected.
   *
   * @param kind what it is
   * @param of the seq of the verdict that it follows
   * @return the piece
   */
  public static Piece of(Kind kind, OptionalLong of) {
    return new Piece(kind, of, Optional.empty());
  }

  /**
   * Whether it was cut now, and so has a place of its own in cutting order.
   *
   * @return false for a reworked part and for a challenge piece
   */
  public boolean cutNow() {
    return kind == Kind.FIRST_OFF || kind == Kind.MEASURED_AGAIN;
  }
}

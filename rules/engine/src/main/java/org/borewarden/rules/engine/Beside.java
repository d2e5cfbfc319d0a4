package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.judge.Piece;

/**
 * What is said of a bore beside its verdict.
 *
 * @param piece what its part is, where it is not simply the next one of the run
 * @param sizeClass its size class, for selective fits
 * @param conceded what a concession says of it
 */
public record Beside(
    Optional<Piece> piece, Optional<String> sizeClass, Optional<Conceded> conceded) {
  /** Nothing. */
  public static final Beside NONE =
      new Beside(Optional.empty(), Optional.empty(), Optional.empty());

  /** Whether the bore says how the process goes: it enters streams, pools and capability. */
  boolean inStreams() {
    return piece.isEmpty();
  }

  /** Whether the bore says anything of the cell's permit. */
  boolean ofThisRun() {
    return piece.map(Piece::cutNow).orElse(true);
  }
}

package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.engine.Conceded;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.judge.Verdict;

/** What stands beside a verdict: what the part is, and what a concession says of it. */
final class BesidePayload {
  private BesidePayload() {}

  /**
   * What a part is that is not simply the next one of the run.
   *
   * @param kind rework, challenge, first-off or measured-again
   * @param of the seq of the verdict that it follows
   * @param expected the verdict that a challenge piece must get
   * @param passed whether it got it
   */
  record OfPiece(
      String kind, OptionalLong of, Optional<String> expected, Optional<Boolean> passed) {
    static OfPiece of(Piece piece, Decision.BoreJudged judged) {
      return new OfPiece(
          piece.kind().key(),
          piece.of(),
          piece.expected().map(Verdict::key),
          piece
              .expected()
              .map(
                  expected ->
                      judged.judgement().verdict() == expected
                          || judged.judgement().also().equals(Optional.of(expected))));
    }
  }

  /**
   * What a concession says.
   *
   * @param authority who granted it
   * @param until its last day
   * @param lower the lower limit that it grants, in the payload's unit
   * @param upper the upper limit that it grants
   * @param verdict the verdict by these limits
   */
  record Granted(
      String authority,
      String until,
      Optional<BigDecimal> lower,
      Optional<BigDecimal> upper,
      String verdict) {
    static Granted of(Conceded conceded, Bore bore) {
      return new Granted(
          conceded.authority(),
          conceded.until(),
          conceded.lower().map(l -> Size.whole(l, bore.unit(), bore.decimals())),
          conceded.upper().map(l -> Size.whole(l, bore.unit(), bore.decimals())),
          conceded.verdict().key());
    }
  }
}

package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.watch.Finding;

/** What becomes of the findings of a bore that is not simply the next one of the run. */
final class Pieces {
  private Pieces() {}

  /** The next bore is of a part that was cut again. */
  static AnswerCode rework(Work work, Order.Rework order) {
    if (!work.features.containsKey(order.feature())) {
      return AnswerCode.NOTHING_HELD;
    }
    boolean known =
        order.seq().isEmpty()
            || Shifts.of(work, order.feature()).recent(order.seq().get()).isPresent();
    if (!known) {
      return AnswerCode.OVER_LIMIT;
    }
    OptionalLong of =
        order.seq().isPresent() ? OptionalLong.of(order.seq().get()) : OptionalLong.empty();
    return next(work, order.feature(), Piece.of(Piece.Kind.REWORK, of));
  }

  /** The next bore is of a piece of known size. */
  static AnswerCode challenge(Work work, Order.Challenge order) {
    if (!work.features.containsKey(order.feature())) {
      return AnswerCode.NOTHING_HELD;
    }
    return next(
        work,
        order.feature(),
        new Piece(Piece.Kind.CHALLENGE, OptionalLong.empty(), Optional.of(order.expected())));
  }

  private static AnswerCode next(Work work, String feature, Piece piece) {
    if (work.open.containsKey(feature)) {
      // The bore under way is of another part: it is ended first.
      return AnswerCode.ALREADY_PENDING;
    }
    work.shifts.put(feature, Shifts.of(work, feature).withNext(Optional.of(piece)));
    return AnswerCode.ACCEPTED;
  }

  /**
   * The findings of a verdict, as they count: a reworked part asks for a person and holds nothing,
   * a concession leaves a note, and a challenge piece holds under a name of its own, so that no
   * part is held back for it.
   */
  static List<Finding> findings(
      Feature feature, Bore bore, Judgement judgement, Beside beside, List<Finding> found) {
    Optional<Piece> piece = beside.piece();
    if (piece.filter(p -> p.kind() == Piece.Kind.CHALLENGE).isPresent()) {
      return challenged(feature, judgement, piece.get(), found);
    }
    if (beside.conceded().filter(c -> c.verdict() == Verdict.WITHIN).isPresent()) {
      String authority = beside.conceded().get().authority();
      return found.stream()
          .map(
              f ->
                  isOfSize(f)
                      ? with(f, Action.Level.NOTE, f.words() + ", by concession " + authority)
                      : f)
          .toList();
    }
    if (!beside.ofThisRun()) {
      return found.stream()
          .map(
              f ->
                  f.action().level() == Action.Level.HOLD
                      ? with(f, Action.Level.ALERT, f.words() + " after rework")
                      : f)
          .toList();
    }
    return found;
  }

  private static boolean isOfSize(Finding finding) {
    return finding.reason() == Reason.UNDERSIZE || finding.reason() == Reason.OVERSIZE;
  }

  private static Finding with(Finding finding, Action.Level level, String words) {
    return new Finding(
        finding.key(),
        finding.feature(),
        finding.reason(),
        new Action(level, StopKind.END_OF_PART, Optional.empty()),
        finding.partsLeft(),
        words);
  }

  private static List<Finding> challenged(
      Feature feature, Judgement judgement, Piece piece, List<Finding> found) {
    Verdict expected = piece.expected().orElseThrow();
    boolean seen =
        judgement.verdict() == expected || judgement.also().equals(Optional.of(expected));
    if (!seen) {
      return List.of(
          Outs.finding(
              feature,
              Reason.CHALLENGE_FAILED,
              new Action(Action.Level.HOLD, StopKind.END_OF_PART, Optional.empty()),
              "the challenge piece of "
                  + feature.id()
                  + " was judged "
                  + judgement.verdict().key()
                  + ", expected "
                  + expected.key()));
    }
    return found.stream()
        .filter(Pieces::isOfSize)
        .map(
            f ->
                Outs.finding(
                    feature,
                    Reason.CHALLENGE,
                    f.action(),
                    "the challenge piece of " + feature.id() + " was judged " + expected.key()))
        .limit(1)
        .toList();
  }
}

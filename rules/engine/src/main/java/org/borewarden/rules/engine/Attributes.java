package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.reading.PartContext;

/** What a person says of a bore that has no number: found by hand, or passed over. */
final class Attributes {
  private Attributes() {}

  /**
   * A verdict without a number holds, clears and is evidence like any other; no watch sees it. It
   * can be taken back by a discard.
   */
  static AnswerCode take(Work work, Order.Attribute order, String by) {
    FeatureState known = work.features.get(order.feature());
    if (known == null) {
      return AnswerCode.NOTHING_HELD;
    }
    Feature feature = known.feature();
    Bores.end(work, feature, Bores.End.ASKED);
    FeatureState before = work.feature(feature.id());
    PartContext context = Judging.context(work, feature);
    long part = Judging.partOf(work, before, context);
    Verdict verdict = verdict(order.found());
    long seq = work.nextSeq();
    work.decide(
        new Decision.AttributeJudged(
            feature, part, verdict, order.found(), order.reason(), by, context));
    work.features.put(feature.id(), before.withAttribute(part, verdict));
    Shifts.inspected(work, feature);
    List<String> cleared = new ArrayList<>();
    if (verdict == Verdict.WITHIN) {
      cleared.add(Outs.key(Reason.UNDERSIZE, feature));
      cleared.add(Outs.key(Reason.OVERSIZE, feature));
    }
    boolean held = Findings.take(work, feature, Outs.ofAttribute(feature, part, verdict), cleared);
    feature
        .cell()
        .ifPresent(
            cell ->
                Holding.judged(
                    work,
                    cell,
                    new Holding.Judged(
                        feature.id(),
                        seq,
                        verdict == Verdict.WITHIN,
                        false,
                        held,
                        context.part())));
    FeatureState after = work.feature(feature.id());
    work.features.put(feature.id(), after.withLast(seq, work.seq(), before.withoutLast()));
    work.effect(new Effect.TrendMoved(after.view()));
    Rounds.done(work, feature, Optional.empty());
    return AnswerCode.ACCEPTED;
  }

  /** The part goes on without this bore; what was read of it is told, and withheld. */
  static AnswerCode skip(Work work, Order.Skip order, String by) {
    FeatureState known = work.features.get(order.feature());
    if (known == null) {
      return AnswerCode.NOTHING_HELD;
    }
    Feature feature = known.feature();
    Optional<OpenBore> open = Optional.ofNullable(work.open.get(feature.id()));
    Bores.end(work, feature, Bores.End.ASKED);
    FeatureState before = work.feature(feature.id());
    long part =
        open.map(OpenBore::part)
            .orElseGet(() -> Judging.partOf(work, before, Judging.context(work, feature)));
    work.decide(new Decision.FeatureSkipped(feature.id(), part, order.reason(), by));
    work.features.put(feature.id(), before.withSkipped(part));
    Rounds.done(work, feature, Optional.empty());
    return AnswerCode.ACCEPTED;
  }

  private static Verdict verdict(Order.Attribute.Found found) {
    return switch (found) {
      case DOES_NOT_ENTER -> Verdict.UNDERSIZE;
      case GO -> Verdict.WITHIN;
      case NO_GO_ENTERS -> Verdict.OVERSIZE;
    };
  }
}

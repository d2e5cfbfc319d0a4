package org.borewarden.rules.watch;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * Tool-offset advice, and the proof of a stated offset: metrology.md 4.13. The advice takes back
 * the whole difference at the first offset of a tool, then a half, then a third (Grubbs 1954, from
 * memory), and nothing inside two standard uncertainties of the level. Advice is shown, never sent
 * to a machine. An offset that was not stated with its amount is not proved.
 */
final class OffsetWatch {
  private static final double PICOMETRES_PER_METRE = 1e12;
  private static final double DEAD_BAND = 2;

  private OffsetWatch() {}

  static String key(WatchRule rule, Feature feature) {
    return Reason.OFFSET.key() + "/" + feature.id() + "/" + rule.id();
  }

  static WatchStep step(WatchRule.ToolOffset rule, OffsetState before, Feature feature, Bore bore) {
    boolean first = before.open().count() == 0;
    boolean setBack = !first && before.last() - bore.part() > Watches.LATE_PARTS;
    if (!first && bore.part() <= before.last() && !setBack) {
      return new WatchStep(before, List.of(), List.of(), false, Optional.empty());
    }
    OffsetState base = setBack ? OffsetState.NONE : before;
    long origin = first || setBack ? bore.part() : base.origin();
    double y = bore.followed().minus(feature.nominal()).picometres();
    Optional<OffsetState.Pending> pending = base.pending().map(p -> with(p, bore.part(), y));
    boolean due = pending.filter(p -> p.bores() >= rule.proofBores()).isPresent();
    Optional<Finding> found =
        due ? pending.flatMap(p -> proved(rule, feature, p)) : Optional.empty();
    boolean stands = due ? found.isPresent() : base.stands();
    return new WatchStep(
        new OffsetState(
            base.open().plus((double) (bore.part() - origin), y),
            base.closed(),
            origin,
            bore.part(),
            base.offsets(),
            due ? Optional.empty() : pending,
            stands),
        found.stream().toList(),
        before.stands() && !stands ? List.of(key(rule, feature)) : List.of(),
        true,
        Optional.empty());
  }

  private static OffsetState.Pending with(OffsetState.Pending pending, long part, double y) {
    double x = part - pending.origin();
    return new OffsetState.Pending(
        pending.asked(),
        pending.before(),
        pending.origin(),
        pending.bores() + 1,
        pending.sum() + y - pending.before().at(x),
        pending.sumX() + x);
  }

  /** A finding, unless the offset shows as it was asked for or nothing can be told. */
  private static Optional<Finding> proved(
      WatchRule.ToolOffset rule, Feature feature, OffsetState.Pending pending) {
    double sigma = sigma(rule, pending.before());
    double moved = pending.sum() / pending.bores();
    double x = pending.sumX() / pending.bores();
    double u =
        Math.hypot(
            sigma / Math.sqrt(pending.bores()), levelUncertainty(pending.before(), x, sigma));
    OffsetProof proof = OffsetProof.of(pending.asked(), moved, u);
    if (proof == OffsetProof.AS_ASKED || proof == OffsetProof.CANNOT_TELL) {
      return Optional.empty();
    }
    return Optional.of(
        new Finding(
            key(rule, feature),
            feature.id(),
            Reason.OFFSET,
            rule.action(),
            OptionalInt.empty(),
            String.format(
                Locale.ROOT,
                "offset of %+.1f um shows as %+.1f um (u %.1f um) over %d bores: %s",
                pending.asked() / 1e6,
                moved / 1e6,
                u / 1e6,
                pending.bores(),
                proof.words())));
  }

  private static double sigma(WatchRule.ToolOffset rule, Line line) {
    return rule.sigma().map(s -> (double) s.picometres()).orElse(line.residualDeviation());
  }

  private static double levelUncertainty(Line line, double x, double sigma) {
    double distance = x - line.meanX();
    return sigma * Math.sqrt(1.0 / line.levelCount() + distance * distance / line.sxx());
  }

  /**
   * A new segment.
   *
   * @param asked the stated change on diameter; empty where it is no offset, or not stated
   */
  static OffsetState newSegment(OffsetState state, SegmentCause cause, Optional<Length> asked) {
    return switch (cause) {
      case TOOL_CHANGED, RULES_CHANGED, GAP -> OffsetState.NONE;
      case OFFSET_ENTERED -> {
        Optional<OffsetState.Pending> pending =
            asked
                .filter(a -> a.picometres() != 0)
                .flatMap(
                    a ->
                        Line.fit(state.open(), state.closed())
                            .filter(line -> line.freedom() >= 1)
                            .map(
                                line ->
                                    new OffsetState.Pending(
                                        (double) a.picometres(), line, state.origin(), 0, 0, 0)));
        SlopeSums closed = state.closed().plus(state.open());
        yield new OffsetState(Regression.NONE, closed, 0, 0, state.offsets() + 1, pending, false);
      }
    };
  }

  /** The advice; empty while there is no line, and while an offset waits for its proof. */
  static Optional<OffsetView> view(WatchRule.ToolOffset rule, OffsetState state, Feature feature) {
    Optional<Line> fitted = Line.fit(state.open(), state.closed());
    if (fitted.isEmpty() || feature.centre().isEmpty() || state.pending().isPresent()) {
      return Optional.empty();
    }
    Line line = fitted.get();
    double sigma = sigma(rule, line);
    if (line.count() < rule.minimumBores() || Double.isNaN(sigma)) {
      return Optional.empty();
    }
    double x = state.last() - state.origin();
    double level = line.at(x);
    double u = levelUncertainty(line, x, sigma);
    double aim = feature.centre().get().minus(feature.nominal()).picometres();
    double off = level - aim;
    double gain = 1.0 / Math.min(1 + state.offsets(), WatchRule.ToolOffset.SMALLEST_GAIN);
    double step = (rule.onRadius() ? 2.0 : 1.0) * rule.step().picometres();
    // Toward a smaller bore: what is left in can still be cut.
    double diameter = Math.abs(off) <= DEAD_BAND * u ? 0 : Math.floor(-gain * off / step) * step;
    double entry = (rule.onRadius() ? diameter / 2 : diameter) * (rule.reversed() ? -1 : 1);
    return Optional.of(
        new OffsetView(
            level / PICOMETRES_PER_METRE,
            u / PICOMETRES_PER_METRE,
            off / PICOMETRES_PER_METRE,
            gain,
            diameter / PICOMETRES_PER_METRE,
            entry / PICOMETRES_PER_METRE + 0.0));
  }
}

package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.QuantileCapability;
import org.borewarden.rules.stat.ValueCounts;

/**
 * Capability of a form as a watch that finds nothing: metrology.md 4.12, by the quantiles of {@link
 * QuantileCapability}. The forms are counted, so that memory is bounded and the order does not
 * matter. Uncertainty widens the scatter that is seen and is not taken out, so that the index is
 * rather too small.
 */
final class FormWatch {
  private static final double PICOMETRES_PER_METRE = 1e12;

  private FormWatch() {}

  static WatchStep step(WatchRule.FormCapability rule, FormState before, Bore bore) {
    Optional<FormResult> form =
        bore.measured().map(Measured::form).orElse(List.of()).stream()
            .filter(result -> result.kind() == rule.kind())
            .findFirst();
    boolean again = !before.life().values().isEmpty() && bore.part() == before.lastPart();
    if (form.isEmpty() || again) {
      return new WatchStep(before, List.of(), List.of(), false, Optional.empty());
    }
    Length value = form.get().value();
    FormState next =
        new FormState(
            before.lives(),
            before.all(),
            before.over(),
            before.fromItsBeginning(),
            before.life().plus(value.picometres()),
            before.lifeOver() + (value.isAbove(form.get().most()) ? 1 : 0),
            bore.part());
    return new WatchStep(next, List.of(), List.of(), true, Optional.empty());
  }

  static FormState newSegment(FormState before, SegmentCause cause) {
    return switch (cause) {
      case RULES_CHANGED -> FormState.NONE;
      case OFFSET_ENTERED -> before;
      case GAP -> before.begun(false);
      case TOOL_CHANGED -> ended(before).begun(true);
    };
  }

  private static FormState ended(FormState before) {
    return !before.fromItsBeginning() || before.life().values().isEmpty()
        ? before
        : new FormState(
            before.lives() + 1,
            before.all().and(before.life()),
            before.over() + before.lifeOver(),
            true,
            ValueCounts.NONE,
            0,
            0);
  }

  /** What is known; empty under {@link CapabilityWatch#FEWEST} bores and without a limit. */
  static Optional<FormView> view(WatchRule.FormCapability rule, FormState state, Feature feature) {
    boolean partial = state.lives() == 0;
    ValueCounts counts = partial ? state.life() : state.all();
    long n = counts.total();
    Optional<Length> limit =
        feature
            .measuring()
            .plan()
            .flatMap(Plan::form)
            .map(FormRules::limits)
            .orElse(List.of())
            .stream()
            .filter(of -> of.kind() == rule.kind())
            .map(FormLimit::most)
            .findFirst();
    if (n < CapabilityWatch.FEWEST || limit.isEmpty()) {
      return Optional.empty();
    }
    double most = limit.get().picometres();
    double median = counts.quantile(0.5).orElseThrow();
    OptionalDouble upper = counts.quantile(QuantileCapability.UPPER);
    long over = partial ? state.lifeOver() : state.over();
    return Optional.of(
        new FormView(
            rule.kind().key(),
            state.lives(),
            partial,
            n,
            median / PICOMETRES_PER_METRE,
            counts.ranked(n) / PICOMETRES_PER_METRE,
            upper.isPresent()
                ? OptionalDouble.of(upper.getAsDouble() / PICOMETRES_PER_METRE)
                : upper,
            upper.isPresent()
                ? QuantileCapability.ofOneLimit(most, median, upper.getAsDouble())
                : upper,
            atLeast(counts, n, most, median, rule.confidence()),
            (double) over / n,
            QuantileCapability.shareAtMost(over, n, rule.confidence())));
  }

  /**
   * The error of the median, far smaller than that of the quantile, is not counted. Beyond the
   * limit a wider tail brings the index nearer to 0, and there is no bound of this kind.
   */
  private static OptionalDouble atLeast(
      ValueCounts counts, long n, double most, double median, double confidence) {
    long rank = QuantileCapability.rankAbove(n, confidence);
    return rank > n || median > most
        ? OptionalDouble.empty()
        : QuantileCapability.ofOneLimit(most, median, (double) counts.ranked(rank));
  }
}

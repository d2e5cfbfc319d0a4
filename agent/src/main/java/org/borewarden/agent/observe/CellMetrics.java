package org.borewarden.agent.observe;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;

/** One cell's hold as series. Guarded by itself. */
final class CellMetrics {

  /** What a release may say; anything else, from an older journal, counts as not known. */
  private static final List<String> NEEDED = List.of("yes", "no", "unknown");

  private static final String NOT_SAID = "not-said";
  private static final List<String> CONTAINED =
      List.of("measured", "quarantined", "scrapped", NOT_SAID);

  private final Meters meters;
  private final String cell;
  private final MonotonicClock clock;
  private Map<String, Integer> counted = Map.of();
  private double bypassSeconds;
  private OptionalLong bypassSinceNanos = OptionalLong.empty();

  CellMetrics(Meters meters, String cell, MonotonicClock clock) {
    this.meters = meters;
    this.cell = cell;
    this.clock = clock;
    // From zero, so that the first raise shows as an increase.
    causes().forEach(reason -> meters.counter(Metric.HOLD_RAISED, cell, reason.key()));
    NEEDED.forEach(word -> meters.counter(Metric.HOLD_NEEDED, cell, word));
    CONTAINED.forEach(word -> meters.counter(Metric.CONTAIN, cell, word));
    meters.total(Metric.BYPASS, this, CellMetrics::bypassSeconds, cell);
  }

  synchronized void restored(HoldView view) {
    counted = counts(view);
    show(view);
  }

  synchronized void show(HoldView view) {
    countRaised(view);
    boolean latched = view.number() != 0;
    meters.level(Metric.PERMIT, cell).set(view.permitted());
    meters.level(Metric.HOLD_LATCHED, cell).set(latched);
    meters.level(Metric.HOLD_HEARD, cell).set(latched && view.heard());
    meters.level(Metric.TRIAL_PARTS, cell).set(view.trialPartsLeft());
    for (Phase phase : Phase.values()) {
      meters.level(Metric.HOLD_STATE, cell, key(phase)).set(phase == view.phase());
    }
    for (Reason reason : conditions()) {
      boolean active = view.conditions().stream().anyMatch(c -> c.reason() == reason);
      meters.level(Metric.CONDITION, cell, reason.key()).set(active);
    }
    showBypass(view);
  }

  void released(String needed, Optional<String> contain) {
    String word = NEEDED.contains(needed) ? needed : "unknown";
    meters.counter(Metric.HOLD_NEEDED, cell, word).increment();
    String outcome = contain.filter(CONTAINED::contains).orElse(NOT_SAID);
    meters.counter(Metric.CONTAIN, cell, outcome).increment();
  }

  private void countRaised(HoldView view) {
    for (Cause cause : view.causes()) {
      int before = counted.getOrDefault(cause.key(), 0);
      // A lower count than before is a new latch of the same cause.
      int raised = cause.count() >= before ? cause.count() - before : cause.count();
      if (raised > 0) {
        meters.counter(Metric.HOLD_RAISED, cell, cause.reason().key()).increment(raised);
        meters.level(Metric.HOLD_RAISED_AT, cell).set(view.since());
      }
    }
    counted = counts(view);
  }

  private void showBypass(HoldView view) {
    boolean bypassed = view.phase() == Phase.BYPASSED;
    if (bypassed && bypassSinceNanos.isEmpty()) {
      bypassSinceNanos = OptionalLong.of(clock.nanos());
    } else if (!bypassed) {
      bypassSeconds = bypassSeconds();
      bypassSinceNanos = OptionalLong.empty();
    }
    Level end = meters.level(Metric.BYPASS_END, cell);
    view.bypassUntil().ifPresentOrElse(end::set, end::clear);
  }

  private synchronized double bypassSeconds() {
    return bypassSinceNanos.isEmpty()
        ? bypassSeconds
        : bypassSeconds + (clock.nanos() - bypassSinceNanos.getAsLong()) / 1e9;
  }

  private static Map<String, Integer> counts(HoldView view) {
    return view.causes().stream()
        .collect(Collectors.toUnmodifiableMap(Cause::key, Cause::count, Integer::max));
  }

  private static List<Reason> causes() {
    return Arrays.stream(Reason.values())
        .filter(r -> r != Reason.NONE && !r.ofCondition())
        .toList();
  }

  private static List<Reason> conditions() {
    return Arrays.stream(Reason.values()).filter(Reason::ofCondition).toList();
  }

  private static String key(Phase phase) {
    return phase.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}

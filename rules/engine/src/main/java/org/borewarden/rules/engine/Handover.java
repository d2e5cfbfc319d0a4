package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AlertView;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;

/**
 * What one person hands over to the next, or finds at the start of a shift: holds, conditions,
 * alerts, gauges with their soak, rings as found and as left and suspect windows, first-offs and
 * inspections that are open. Computed from the state, so that nobody has to remember it.
 */
final class Handover {
  /** What an answer tells in words; all of it stands in the journal. */
  static final int MOST_SHOWN = 12;

  private static final double PICOMETRES_IN_UM = 1e6;

  private Handover() {}

  /** Writes the list down, with who gave and who takes. */
  static Reply handOver(Work work, Order.HandOver order, String by) {
    List<Decision.OpenItem> items = items(work, order.cell());
    work.decide(new Decision.HandedOver(order.cell(), by, order.to(), items));
    String what = items.isEmpty() ? "nothing is open" : items.size() + " open: " + shown(items);
    return new Reply(AnswerCode.ACCEPTED, what);
  }

  private static String shown(List<Decision.OpenItem> items) {
    String first =
        items.stream().limit(MOST_SHOWN).map(Handover::words).collect(Collectors.joining("; "));
    return items.size() > MOST_SHOWN ? first + "; and more, see the journal" : first;
  }

  private static String words(Decision.OpenItem item) {
    return item.what() + " " + item.subject() + " " + item.words();
  }

  private static List<Decision.OpenItem> items(Work work, String cell) {
    List<Decision.OpenItem> items = new ArrayList<>();
    HoldState hold = work.cell(cell).hold();
    if (hold.number() != 0) {
      hold.causes()
          .forEach(
              c -> add(items, "hold", Integer.toString(hold.number()), "stands for " + c.key()));
    } else if (hold.phase() == Phase.STARTING) {
      add(items, "start", cell, "is not over");
    }
    hold.conditions()
        .forEach(
            c ->
                add(
                    items,
                    "condition",
                    c.reason().key() + c.subject().map(s -> "/" + s).orElse(""),
                    "withholds the permit"));
    TreeSet<String> gauges = new TreeSet<>();
    for (FeatureState state : work.features.values()) {
      Feature feature = state.feature();
      if (feature.cell().equals(Optional.of(cell))) {
        gauges.add(feature.gauge());
        feature(work, feature, items);
      }
    }
    gauges.forEach(gauge -> gauge(work, gauge, items));
    work.alerts.views().stream()
        .filter(a -> a.cell().equals(Optional.of(cell)) && stands(a))
        .forEach(a -> add(items, "alert", a.key(), "is " + a.state().key()));
    return items;
  }

  private static boolean stands(AlertView alert) {
    return alert.state() != AlertState.NORMAL && alert.state() != AlertState.LATCHED;
  }

  private static void feature(Work work, Feature feature, List<Decision.OpenItem> items) {
    ShiftState shift = Shifts.of(work, feature.id());
    if (shift.counts().firstOffs() > 0) {
      add(
          items,
          "first-off",
          feature.id(),
          "needs " + shift.counts().firstOffs() + " bores in its zone");
    }
    shift
        .next()
        .ifPresent(p -> add(items, p.kind().key(), feature.id(), "is said of the next bore"));
    if (work.open.containsKey(feature.id())) {
      add(items, "bore", feature.id(), "waits for readings");
    }
  }

  private static void gauge(Work work, String gauge, List<Decision.OpenItem> items) {
    Optional.ofNullable(work.gauges.get(gauge))
        .filter(view -> !view.connected())
        .ifPresent(view -> add(items, "gauge", gauge, "gives nothing: " + view.detail()));
    Optional.ofNullable(work.gauges.get(gauge))
        .filter(view -> view.batteryLow().orElse(false))
        .ifPresent(view -> add(items, "battery", gauge, "is low"));
    Optional.ofNullable(work.gauges.get(gauge))
        .flatMap(GaugeView::turn)
        .filter(turn -> turn.place() > 1)
        .ifPresent(turn -> add(items, "part", gauge, "still lacks " + turn.feature()));
    soak(work, gauge, items);
    Optional.ofNullable(work.truths.get(gauge)).ifPresent(truth -> truth(truth, gauge, items));
  }

  /** Is it at rest with its ring and the parts, or when will it be. */
  private static void soak(Work work, String gauge, List<Decision.OpenItem> items) {
    Optional<Duration> soak = work.rules.flatMap(r -> r.gauge(gauge)).flatMap(GaugeRules::soak);
    Optional<Instant> on =
        work.ports.values().stream()
            .filter(port -> port.connected() && port.gauges().contains(gauge))
            .findFirst()
            .flatMap(PortState::onSince);
    if (soak.isPresent() && on.isPresent()) {
      Instant until = on.get().plus(soak.get());
      String words = work.at().isBefore(until) ? "ends at " + until : "is over";
      add(items, "soak", gauge, words + ", on since " + on.get());
    }
  }

  private static void truth(GaugeTruth truth, String gauge, List<Decision.OpenItem> items) {
    truth.belief().doubt().ifPresent(why -> add(items, "gauge", gauge, "is not believed: " + why));
    truth.window().ifPresent(seq -> add(items, "suspect-window", gauge, "stands since " + seq));
    if (truth.due()) {
      add(items, "ring-check", gauge, "is due");
    }
    truth
        .lastGood()
        .ifPresent(
            check ->
                add(
                    items,
                    "ring",
                    gauge,
                    "was last good on " + check.ring() + " at " + check.at()));
    truth
        .setting()
        .ifPresent(
            set -> {
              add(items, "as-found", gauge, words(set.asFound()));
              add(items, "as-left", gauge, words(set.asLeft()));
            });
  }

  private static String words(Optional<RingCheck> check) {
    return check
        .map(
            c ->
                String.format(
                    Locale.ROOT,
                    "is %+.1f um on %s, %s, at %s",
                    c.error() / PICOMETRES_IN_UM,
                    c.ring(),
                    c.passed() ? "good" : "failed",
                    c.at()))
        .orElse("is missing");
  }

  private static void add(
      List<Decision.OpenItem> items, String what, String subject, String words) {
    items.add(new Decision.OpenItem(what, subject, words));
  }
}

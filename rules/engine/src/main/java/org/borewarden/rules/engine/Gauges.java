package org.borewarden.rules.engine;

import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.reading.Reading;

/** What is known of ports and gauges, and what a lost one does to the cells that it serves. */
final class Gauges {
  private Gauges() {}

  static void gave(Work work, Reading reading) {
    put(work, view(work, reading.gauge()).gave(work.at(), reading.batteryLow()));
    reading.bookmark().ifPresent(end -> read(work, reading.gauge(), end));
  }

  /** The journal itself remembers how far a source was read, so that both are always one. */
  private static void read(Work work, String gauge, String end) {
    work.ports.replaceAll((id, port) -> port.gauges().contains(gauge) ? port.read(end) : port);
  }

  static void rejected(Work work, Event.FrameRejected event) {
    put(work, view(work, event.gauge()).withRejected(1 + event.unpublished()));
  }

  static void disbelieved(Work work, String gauge) {
    put(work, view(work, gauge).withRejected(1));
  }

  static void changed(Work work, Event.SourceChanged event) {
    PortState port =
        Optional.ofNullable(work.ports.get(event.source()))
            .orElseGet(
                () ->
                    PortState.starting(
                        new Event.Port(event.source(), event.gauges()), Optional.empty()));
    work.ports.put(
        event.source(), port.changed(event.connected(), event.gauges(), event.detail(), work.at()));
    for (String gauge : event.gauges()) {
      put(work, view(work, gauge).changed(event.connected(), event.detail()));
    }
    conditions(work);
  }

  /** What a gauge's ring says of it changed. */
  static void shown(Work work, String gauge, Optional<GaugeTruth> truth) {
    GaugeView before = view(work, gauge);
    Optional<TruthView> view = truth.map(TruthView::of);
    if (!view.equals(before.truth())) {
      put(work, before.withTruth(view));
    }
  }

  /** A person, or the cell, asks a gauge for a reading. */
  static Reply ask(Work work, Order.Ask order) {
    Optional<Map.Entry<String, PortState>> port =
        work.ports.entrySet().stream()
            .filter(p -> p.getValue().gauges().contains(order.gauge()))
            .findFirst();
    if (port.isEmpty()) {
      return new Reply(AnswerCode.MALFORMED, "no such gauge: " + order.gauge());
    }
    if (!port.get().getValue().asked()) {
      return new Reply(
          AnswerCode.MALFORMED,
          "gauge "
              + order.gauge()
              + " is not asked by command: its port has no ask with on: command");
    }
    if (!port.get().getValue().connected()) {
      return new Reply(
          AnswerCode.CONDITION_PRESENT,
          "port " + port.get().getKey() + " is lost: " + port.get().getValue().detail());
    }
    work.effect(new Effect.PortAsked(port.get().getKey()));
    return new Reply(AnswerCode.ACCEPTED, "asked");
  }

  /** Whose turn it is at a gauge changed. */
  static void turn(Work work, String gauge, Optional<TurnView> turn) {
    GaugeView before = view(work, gauge);
    if (!turn.equals(before.turn())) {
      put(work, before.withTurn(turn));
    }
  }

  /**
   * A port whose gauge measures a feature of a cell withholds that cell's permit while it is lost.
   */
  static void conditions(Work work) {
    for (CellState cell : java.util.List.copyOf(work.cells.values())) {
      String id = cell.policy().cell();
      work.ports.forEach(
          (port, state) -> {
            Condition lost = new Condition(Reason.SOURCE_LOST, Optional.of(port));
            if (!state.connected() && serves(work, state, id)) {
              Holding.set(work, id, lost);
            } else {
              Holding.clear(work, id, lost);
            }
          });
    }
  }

  private static boolean serves(Work work, PortState port, String cell) {
    return work.rules.isPresent()
        && work.rules.get().features().stream()
            .filter(feature -> feature.cell().equals(Optional.of(cell)))
            .map(Feature::gauge)
            .anyMatch(port.gauges()::contains);
  }

  private static void put(Work work, GaugeView gauge) {
    work.gauges.put(gauge.gauge(), gauge);
    work.effect(new Effect.GaugeMoved(gauge));
  }

  private static GaugeView view(Work work, String gauge) {
    return work.gauges.getOrDefault(gauge, GaugeView.unknown(gauge));
  }
}

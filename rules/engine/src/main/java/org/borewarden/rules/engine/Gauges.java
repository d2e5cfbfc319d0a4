package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Feature;

/** What is known of ports and gauges, and what a lost one does to the cells that it serves. */
final class Gauges {
  private Gauges() {}

  static void gave(Work work, String gauge) {
    GaugeView before = work.gauges.getOrDefault(gauge, unknown(gauge));
    put(
        work,
        new GaugeView(
            gauge,
            true,
            before.connected() ? before.detail() : "connected",
            Optional.of(work.at()),
            before.readings() + 1,
            before.rejected(),
            before.truth()));
  }

  static void rejected(Work work, Event.FrameRejected event) {
    GaugeView before = work.gauges.getOrDefault(event.gauge(), unknown(event.gauge()));
    put(
        work,
        new GaugeView(
            event.gauge(),
            before.connected(),
            before.detail(),
            before.lastReading(),
            before.readings(),
            before.rejected() + 1 + event.unpublished(),
            before.truth()));
  }

  static void changed(Work work, Event.SourceChanged event) {
    work.ports.put(
        event.source(), new PortState(event.connected(), event.gauges(), event.detail()));
    for (String gauge : event.gauges()) {
      GaugeView before = work.gauges.getOrDefault(gauge, unknown(gauge));
      put(
          work,
          new GaugeView(
              gauge,
              event.connected(),
              event.detail(),
              before.lastReading(),
              before.readings(),
              before.rejected(),
              before.truth()));
    }
    conditions(work);
  }

  /** What a gauge's ring says of it changed. */
  static void shown(Work work, String gauge, Optional<GaugeTruth> truth) {
    GaugeView before = work.gauges.getOrDefault(gauge, unknown(gauge));
    Optional<TruthView> view = truth.map(TruthView::of);
    if (!view.equals(before.truth())) {
      put(
          work,
          new GaugeView(
              gauge,
              before.connected(),
              before.detail(),
              before.lastReading(),
              before.readings(),
              before.rejected(),
              view));
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

  private static GaugeView unknown(String gauge) {
    return new GaugeView(gauge, false, "never seen", Optional.empty(), 0, 0, Optional.empty());
  }
}

package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.gauge.BoreLog;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.SegmentCause;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.WatchStep;
import org.borewarden.rules.watch.Watches;

/** The wrong part was scanned: bores already measured get the serial of their part. */
final class Serials {
  private Serials() {}

  /**
   * The verdict stays as it was written; who reads it finds the correction behind it. Watches that
   * go by serials drew their lines through the wrong place: they begin anew.
   */
  static AnswerCode correct(Work work, Order.CorrectSerial order, String by) {
    FeatureState known = work.features.get(order.feature());
    ShiftState state = Shifts.of(work, order.feature());
    if (known == null || state.recent().isEmpty()) {
      return AnswerCode.NOTHING_HELD;
    }
    Optional<ShiftState.Recent> meant =
        order.seq().isPresent() ? state.recent(order.seq().get()) : state.newest();
    if (meant.isEmpty()) {
      return AnswerCode.OVER_LIMIT;
    }
    ShiftState.Recent bore = meant.get();
    Feature feature = known.feature();
    Optional<String> was = bore.context().serial();
    work.decide(
        new Decision.SerialCorrected(
            feature.id(), bore.seq(), was, order.serial(), order.reason(), by));
    List<ShiftState.Recent> recent = new ArrayList<>();
    for (ShiftState.Recent each : state.recent()) {
      recent.add(
          each.seq() == bore.seq()
              ? new ShiftState.Recent(
                  each.seq(), each.part(), named(each.context(), order.serial()), each.ofThisRun())
              : each);
    }
    work.shifts.put(feature.id(), state.withRecent(recent));
    gaugeKnows(work, feature, bore.seq(), order.serial());
    feature.cell().ifPresent(cell -> cellKnows(work, cell, was, order.serial()));
    if (feature.streams().order() == PartOrder.SERIAL) {
      beginAnew(work, known);
    }
    return AnswerCode.ACCEPTED;
  }

  private static PartContext named(PartContext context, String serial) {
    return new PartContext(
        context.part(),
        Optional.of(serial),
        context.tool(),
        context.spindle(),
        context.fixture(),
        context.operator(),
        context.batch());
  }

  /** A suspect window must name the part that is to be measured again. */
  private static void gaugeKnows(Work work, Feature feature, long seq, String serial) {
    GaugeTruth truth = Truths.truth(work, feature.gauge());
    if (truth.log().bores().stream().anyMatch(bore -> bore.seq() == seq)) {
      List<LoggedBore> bores =
          truth.log().bores().stream()
              .map(bore -> bore.seq() == seq ? bore.withSerial(serial) : bore)
              .toList();
      work.truths.put(feature.gauge(), truth.withLog(new BoreLog(bores, truth.log().cut())));
    }
  }

  /** The part may still be at the gauges: its next features get the right serial at once. */
  private static void cellKnows(Work work, String cell, Optional<String> was, String serial) {
    work.cellIfKnown(cell)
        .filter(state -> was.isPresent() && state.context().serial().equals(was))
        .ifPresent(
            state -> work.cells.put(cell, state.withContext(named(state.context(), serial))));
  }

  private static void beginAnew(Work work, FeatureState state) {
    Map<String, WatchState> next = new HashMap<>(state.watches());
    for (String stream : state.streams()) {
      for (WatchRule rule : state.watchesOf(stream)) {
        WatchStep step =
            Watches.newSegment(rule, state.watch(rule), state.feature(), SegmentCause.GAP);
        next.put(rule.id(), step.next());
        step.cleared().forEach(key -> Alerts.returned(work, key));
      }
    }
    FeatureState begun = state.withWatches(next).withNewSegment();
    work.features.put(state.feature().id(), begun);
    work.effect(new Effect.TrendMoved(begun.view()));
  }
}

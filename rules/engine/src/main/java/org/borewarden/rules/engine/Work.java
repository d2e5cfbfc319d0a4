package org.borewarden.rules.engine;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.hold.AlertBook;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.watch.PoolState;
import org.jspecify.annotations.Nullable;

/**
 * One step under way: the state as it changes and what is decided. Lives for one call of {@link
 * Engine#step} and is never shared.
 */
final class Work {
  final Stamped event;
  final NavigableMap<String, PortState> ports;
  final NavigableMap<String, GaugeView> gauges;
  final NavigableMap<String, FeatureState> features;
  final NavigableMap<String, CellState> cells;
  final NavigableMap<String, OpenBore> open;
  final NavigableMap<String, Tally> tallies;
  final NavigableMap<String, GaugeTruth> truths;
  final NavigableMap<String, PoolState> pools;
  final NavigableMap<String, ShiftState> shifts;
  final NavigableMap<String, Round> rounds;
  final NavigableMap<String, LastReading> lastReadings;
  final NavigableMap<String, CellState> retired;
  final NavigableMap<String, GaugeTemperatures> temperatures;
  Life life;
  Optional<RuleSet> rules;
  AlertBook alerts;
  CommandMemory commands;

  private final List<Decision> decisions = new ArrayList<>();
  private final List<Effect> effects = new ArrayList<>();

  Work(State before, Stamped event) {
    this.event = event;
    this.ports = new TreeMap<>(before.ports());
    this.gauges = new TreeMap<>(before.gauges());
    this.features = new TreeMap<>(before.features());
    this.cells = new TreeMap<>(before.cells());
    this.open = new TreeMap<>(before.measuring().open());
    this.tallies = new TreeMap<>(before.measuring().tallies());
    this.truths = new TreeMap<>(before.measuring().truths());
    this.pools = new TreeMap<>(before.measuring().pools());
    this.shifts = new TreeMap<>(before.measuring().shifts());
    this.rounds = new TreeMap<>(before.measuring().rounds());
    this.lastReadings = new TreeMap<>(before.measuring().last());
    this.retired = new TreeMap<>(before.retired());
    this.life = before.life();
    this.rules = before.rules();
    this.temperatures = new TreeMap<>(before.temperatures());
    this.alerts = before.alerts();
    this.commands = before.commands();
  }

  /** The cell, which stands in the map. */
  CellState cell(String id) {
    return known(cells.get(id), id);
  }

  Optional<CellState> cellIfKnown(String id) {
    return Optional.ofNullable(cells.get(id));
  }

  /** The feature, which stands in the map. */
  FeatureState feature(String id) {
    return known(features.get(id), id);
  }

  private static <T> T known(@Nullable T state, String id) {
    if (state == null) {
      throw new IllegalStateException("nothing is remembered of " + id);
    }
    return state;
  }

  Instant at() {
    return event.at();
  }

  long seq() {
    return event.seq();
  }

  void decide(Decision decision) {
    decisions.add(decision);
  }

  void effect(Effect effect) {
    effects.add(effect);
  }

  /** The seq that the next decision will take. */
  long nextSeq() {
    return event.seq() + 1 + decisions.size();
  }

  /** Whether a watch-only time, inclusive of its last day, still runs. */
  boolean before(Optional<String> lastDay) {
    return lastDay
        .map(LocalDate::parse)
        .map(day -> !at().atZone(ZoneOffset.UTC).toLocalDate().isAfter(day))
        .orElse(false);
  }

  /** A point to which {@link #back} returns. */
  Mark mark() {
    return new Mark(
        new TreeMap<>(features),
        new TreeMap<>(cells),
        new MeasuringState(open, tallies, truths, pools, shifts, rounds, lastReadings),
        alerts,
        decisions.size(),
        effects.size());
  }

  /** Undoes all since a point: a feature that failed half way decided and changed nothing. */
  void back(Mark mark) {
    features.clear();
    features.putAll(mark.features);
    cells.clear();
    cells.putAll(mark.cells);
    open.clear();
    open.putAll(mark.measuring.open());
    tallies.clear();
    tallies.putAll(mark.measuring.tallies());
    truths.clear();
    truths.putAll(mark.measuring.truths());
    pools.clear();
    pools.putAll(mark.measuring.pools());
    shifts.clear();
    shifts.putAll(mark.measuring.shifts());
    rounds.clear();
    rounds.putAll(mark.measuring.rounds());
    alerts = mark.alerts;
    decisions.subList(mark.decisions, decisions.size()).clear();
    effects.subList(mark.effects, effects.size()).clear();
  }

  /**
   * How far a step has come.
   *
   * @param features the features then
   * @param cells the cells then
   * @param measuring bores and gauges then
   * @param alerts the alerts then
   * @param decisions how many decisions there were
   * @param effects how many effects there were
   */
  record Mark(
      NavigableMap<String, FeatureState> features,
      NavigableMap<String, CellState> cells,
      MeasuringState measuring,
      AlertBook alerts,
      int decisions,
      int effects) {}

  Step step() {
    return new Step(
        new State(
            life,
            rules,
            ports,
            gauges,
            features,
            cells,
            retired,
            new MeasuringState(open, tallies, truths, pools, shifts, rounds, lastReadings),
            alerts,
            temperatures,
            commands),
        decisions,
        effects);
  }
}

package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.borewarden.rules.hold.AlertBook;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.HoldViews;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.RuleSet;

/**
 * All that the rules remember. A value: the same events give the same state.
 *
 * @param life the agent itself
 * @param rules the rules in force
 * @param ports the ports, by id
 * @param gauges the gauges, by id
 * @param features the features of the rules in force, by id
 * @param cells the cells, by id
 * @param retired the cells that an earlier config named and this one does not, by id
 * @param measuring bores that wait for readings, and the truth of the gauges
 * @param alerts the alerts
 * @param temperatures what was said of temperatures, by gauge
 * @param commands the answers given
 */
public record State(
    Life life,
    Optional<RuleSet> rules,
    NavigableMap<String, PortState> ports,
    NavigableMap<String, GaugeView> gauges,
    NavigableMap<String, FeatureState> features,
    NavigableMap<String, CellState> cells,
    NavigableMap<String, CellState> retired,
    MeasuringState measuring,
    AlertBook alerts,
    NavigableMap<String, GaugeTemperatures> temperatures,
    CommandMemory commands) {
  /** What {@link CellView#boresUntilLimit} says when nothing is known. */
  static final int UNKNOWN = 65_535;

  /** Copies the maps. */
  public State {
    ports = Collections.unmodifiableNavigableMap(new TreeMap<>(ports));
    gauges = Collections.unmodifiableNavigableMap(new TreeMap<>(gauges));
    features = Collections.unmodifiableNavigableMap(new TreeMap<>(features));
    cells = Collections.unmodifiableNavigableMap(new TreeMap<>(cells));
    retired = Collections.unmodifiableNavigableMap(new TreeMap<>(retired));
    temperatures = Collections.unmodifiableNavigableMap(new TreeMap<>(temperatures));
  }

  /**
   * Nothing has happened.
   *
   * @return the state before the first event of a journal
   */
  public static State initial() {
    return new State(
        Life.NONE,
        Optional.empty(),
        new TreeMap<>(),
        new TreeMap<>(),
        new TreeMap<>(),
        new TreeMap<>(),
        new TreeMap<>(),
        MeasuringState.NONE,
        AlertBook.EMPTY,
        new TreeMap<>(),
        CommandMemory.EMPTY);
  }

  /**
   * The rules revision in force.
   *
   * @return empty before any rules
   */
  public String rulesRevision() {
    return rules.map(RuleSet::revision).orElse("");
  }

  /**
   * The cells.
   *
   * @return their ids, sorted
   */
  public Set<String> cellIds() {
    return cells.keySet();
  }

  /**
   * The ports that are lost.
   *
   * @return one sentence each
   */
  public List<String> lostPorts() {
    return ports.entrySet().stream()
        .filter(port -> !port.getValue().connected())
        .map(port -> "port " + port.getKey() + " is lost: " + port.getValue().detail())
        .toList();
  }

  /**
   * Where in its source the last reading of a port ended.
   *
   * @param port its id
   * @return empty for a source that cannot be wound back, and before its first reading
   */
  public Optional<String> bookmark(String port) {
    return Optional.ofNullable(ports.get(port)).flatMap(PortState::bookmark);
  }

  /**
   * The agent's boot id.
   *
   * @return random at each start, 1 to 65535; 0 before the first
   */
  public int bootId() {
    return life.bootId();
  }

  /**
   * The chart of a feature.
   *
   * @param feature its id
   * @return its state; empty before its first bore
   */
  public Optional<TrendView> trend(String feature) {
    return Optional.ofNullable(features.get(feature))
        .filter(f -> f.bores() > 0)
        .map(FeatureState::view);
  }

  /**
   * Where a feature's bore under way is measured next.
   *
   * @param feature its id
   * @return the place, empty text where the plan has none; empty where no bore waits for a reading
   */
  public Optional<String> awaited(String feature) {
    Optional<List<Place>> places =
        rules.stream()
            .flatMap(set -> set.features().stream())
            .filter(f -> f.id().equals(feature))
            .findFirst()
            .map(f -> f.measuring().plan().map(Plan::places).orElse(List.of()));
    return Optional.ofNullable(measuring.open().get(feature))
        .flatMap(
            open ->
                places.map(
                    list -> {
                      int next = open.next().orElse(open.firstOpen());
                      return next < list.size() ? list.get(next).key() : "";
                    }));
  }

  /**
   * When the path of a hold to a cell was last proved.
   *
   * @param cell its id
   * @return empty where it never was, in this journal
   */
  public Optional<Instant> holdTested(String cell) {
    return Optional.ofNullable(cells.get(cell)).flatMap(state -> state.test().passed());
  }

  /**
   * When the path of a hold to a cell is due to be proved.
   *
   * @param cell its id
   * @return empty where no proof is asked for
   */
  public Optional<Instant> holdTestDue(String cell) {
    return Optional.ofNullable(cells.get(cell)).flatMap(HoldTest::due);
  }

  /**
   * The cells that an earlier config named and this one does not.
   *
   * @return their ids, sorted
   */
  public Set<String> retiredCells() {
    return retired.keySet();
  }

  /**
   * What a cell's outputs show.
   *
   * @param cell its id
   * @param at the wall time
   * @return empty for a cell that the config does not name
   */
  public Optional<CellView> cellView(String cell, Instant at) {
    return Optional.ofNullable(cells.get(cell)).map(state -> cellView(cell, state, at));
  }

  private CellView cellView(String cell, CellState state, Instant at) {
    HoldState hold = state.hold();
    return new CellView(
        HoldViews.view(cell, hold, Challenges.of(life, cell, hold)),
        reason(hold),
        Holding.firstFeature(this, hold).map(Feature::number).orElse(0),
        boresUntilLimit(cell),
        minutesLeft(hold, at),
        state.partsSinceJudged(),
        Alerts.standsFor(alerts, cell),
        hold.phase() == Phase.REQUESTED,
        state.cellTest().filter(t -> t.ended().isEmpty()).map(CellTesting.Running::run).orElse(0L));
  }

  private static Reason reason(HoldState hold) {
    return Stream.concat(
            hold.causes().stream().map(Cause::reason),
            hold.conditions().stream().map(Condition::reason))
        .findFirst()
        .orElse(hold.phase() == Phase.STARTING ? Reason.STARTING : Reason.NONE);
  }

  private int boresUntilLimit(String cell) {
    return features.values().stream()
        .filter(f -> f.feature().cell().equals(Optional.of(cell)))
        .flatMapToInt(
            f -> f.forecasts().shown().map(v -> v.partsLeft().stream()).orElse(IntStream.empty()))
        .min()
        .orElse(UNKNOWN);
  }

  private static int minutesLeft(HoldState hold, Instant at) {
    return hold.bypass()
        .map(b -> Duration.between(at, b.until()).toMillis())
        .map(millis -> (int) Math.max(0, (millis + 59_999) / 60_000))
        .orElse(0);
  }
}

package org.borewarden.rules.engine;

import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldMachine;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.watch.WatchState;

/** A start of the agent, and rules that are loaded or refused. */
final class Starting {
  private static final Condition LINK = new Condition(Reason.LINK, Optional.empty());
  private static final Condition RULES = new Condition(Reason.RULES_INVALID, Optional.empty());

  private Starting() {}

  static void started(Work work, Event.AgentStarted event) {
    work.life = new Life(event.bootId(), event.bootNonce(), false, false);
    NavigableMap<String, PortState> before = new TreeMap<>(work.ports);
    work.ports.clear();
    event
        .ports()
        .forEach(
            port ->
                work.ports.put(
                    port.id(),
                    PortState.starting(port, Optional.ofNullable(before.get(port.id())))));
    List<String> named = event.cells().stream().map(CellPolicy::cell).toList();
    retire(work, named);
    for (CellPolicy policy : event.cells()) {
      started(work, policy, event.clean());
    }
    Bores.restarted(work);
    Truths.restarted(work);
    Gauges.conditions(work);
    Shifts.again(work);
  }

  /**
   * A cell that the config names no more keeps what is latched: to leave it out and to name it
   * again releases nothing. What only stood by its links and ports stands no more.
   */
  private static void retire(Work work, List<String> named) {
    for (CellState state : List.copyOf(work.cells.values())) {
      String cell = state.policy().cell();
      if (!named.contains(cell)) {
        work.cells.remove(cell);
        work.retired.put(cell, state);
        state.hold().conditions().forEach(c -> Alerts.conditionGone(work, cell, c));
        if (state.policy().holdTestEvery().isPresent()) {
          HoldTest.forget(work, cell);
        }
        SecondPerson.forget(work, state);
        CellTesting.forget(work, state);
      }
    }
  }

  private static void started(Work work, CellPolicy policy, boolean clean) {
    String cell = policy.cell();
    Optional<CellState> retired = Optional.ofNullable(work.retired.remove(cell));
    Optional<CellState> before = work.cellIfKnown(cell).or(() -> retired);
    before.filter(was -> retired.isEmpty()).ifPresent(was -> CellTesting.forget(work, was));
    work.cells.put(
        cell,
        before
            .map(was -> was.started(policy))
            .orElseGet(() -> CellState.fresh(policy, HoldState.initial(work.at()))));
    List<Condition> stood = work.cell(cell).hold().conditions();
    Holding.apply(work, cell, new HoldInput.Restarted(clean));
    // Conditions are about the run that ended; each must prove itself again in this one. After the
    // restart, so that the end of one cannot begin a grant that the restart would believe synced.
    stood.forEach(c -> Holding.clear(work, cell, c));
    if (policy.linked()) {
      Holding.set(work, cell, LINK);
    }
    if (policy.brokerOnly()) {
      Holding.set(work, cell, Worlds.BROKER);
    }
    HoldTest.started(work, cell, before.flatMap(was -> was.policy().holdTestEvery()));
  }

  static void loaded(Work work, RuleSet rules) {
    boolean first = !work.life.rulesSinceStart();
    boolean same = work.rules.map(rules::equals).orElse(false);
    Bores.rulesChange(work, rules.features());
    work.life = work.life.withRules(true);
    PooledStreams.loaded(work, work.rules, rules);
    Optional<RuleSet> old = work.rules;
    work.rules = Optional.of(rules);
    work.tallies.keySet().retainAll(rules.features().stream().map(Feature::id).toList());
    Truths.loaded(work, rules);
    NavigableMap<String, FeatureState> before = new TreeMap<>(work.features);
    work.features.clear();
    for (Feature feature : rules.features()) {
      work.features.put(
          feature.id(), carriedOver(feature, Optional.ofNullable(before.get(feature.id()))));
    }
    before.values().stream()
        .filter(was -> !rules.features().contains(was.feature()))
        .forEach(was -> endWatches(work, was));
    for (String cell : List.copyOf(work.cells.keySet())) {
      Holding.clear(work, cell, RULES);
      clearFaultsOfOthers(work, cell);
      if (!first && !same) {
        Holding.apply(work, cell, new HoldInput.RulesReloaded());
      }
    }
    Rounds.loaded(work, old);
    Gauges.conditions(work);
    Truths.conditions(work);
    Shifts.again(work);
  }

  /** What a changed or missing feature had found stands no longer as an alert; a hold does. */
  private static void endWatches(Work work, FeatureState was) {
    Segments.standing(was).forEach(key -> Alerts.returned(work, key));
  }

  /** A feature that the cell no longer has cannot be judged again, which would clear its fault. */
  private static void clearFaultsOfOthers(Work work, String cell) {
    for (Condition condition : List.copyOf(work.cell(cell).hold().conditions())) {
      boolean stays =
          condition
              .subject()
              .flatMap(id -> Optional.ofNullable(work.features.get(id)))
              .map(state -> state.feature().cell().equals(Optional.of(cell)))
              .orElse(false);
      if (condition.reason() == Reason.NOT_JUDGED && !stays) {
        Holding.clear(work, cell, condition);
      }
    }
  }

  /** The watches of an unchanged feature keep their state; those of any other begin anew. */
  private static FeatureState carriedOver(Feature feature, Optional<FeatureState> before) {
    NavigableMap<String, WatchState> watches =
        before
            .filter(was -> was.feature().equals(feature))
            .map(FeatureState::watches)
            .orElseGet(TreeMap::new);
    Acceptance acceptance = Acceptance.of(feature.limits(), feature.uncorrected());
    return before
        .map(was -> was.withRules(feature, acceptance, watches))
        .orElseGet(() -> FeatureState.fresh(feature, acceptance, watches));
  }

  static void refused(Work work) {
    boolean first = !work.life.rulesSinceStart();
    work.life = work.life.withRules(!first && work.life.rulesValid());
    for (String cell : List.copyOf(work.cells.keySet())) {
      if (first) {
        Holding.set(work, cell, RULES);
      } else {
        Holding.apply(work, cell, new HoldInput.RulesRefused());
      }
    }
  }

  /**
   * Looks whether a bypass is over by the wall clock, whether a cell is still watch-only on this
   * day, and whether its evidence after a start is fresh: rules looked at, ports open, the cell's
   * echo moving. That the journal takes a record shows when the grant's own record is synced.
   */
  static void look(Work work) {
    for (String cell : List.copyOf(work.cells.keySet())) {
      CellState state = work.cell(cell);
      if (HoldMachine.bypassEnds(state.hold())
          .filter(end -> !work.at().isBefore(end))
          .isPresent()) {
        Holding.apply(work, cell, new HoldInput.BypassEnd(HoldState.AGENT));
      }
      boolean watchOnly = work.before(state.policy().watchOnlyUntil());
      if (watchOnly != state.hold().watchOnly()) {
        Holding.apply(work, cell, new HoldInput.WatchOnlySet(watchOnly));
      }
      HoldState hold = work.cell(cell).hold();
      boolean waits = hold.phase() == Phase.STARTING && hold.grant().isEmpty();
      if (waits && work.life.rulesSinceStart() && hold.conditions().isEmpty()) {
        Holding.apply(work, cell, new HoldInput.StartEvidenceFresh());
      }
    }
  }
}
